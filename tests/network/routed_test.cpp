// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "mastline/venue/wire_rate.hpp"
#include "planner/network/tree.hpp"
#include "support/dice.hpp"
#include "support/network_builder.hpp"

using namespace mastline;
using test::direction;
using test::ids;
using test::mbps;
using test::NetworkBuilder;

namespace routed_test {

namespace {

constexpr double kOne = 10.0 * 1382 / 1316;

std::string name(std::size_t s) { return "s" + std::to_string(s); }
std::size_t number(const std::string& n) { return std::stoul(n.substr(1)); }

// A triangle of routers with two sources.
NetworkBuilder triangle() {
    NetworkBuilder b(std::vector<BitRate>(6, megabits_per_second(10)));
    b.with_switch("a").with_switch("b").with_switch("c");
    b.with_link("a", "b").with_link("a", "c").with_link("b", "c");
    b.with_card("A1", "a", 3).with_card("B1", "b", 3).with_zone("c", 4, {"101", "104"});
    b.venue().network.forwarding = Forwarding::routed;
    return b;
}

struct Case {
    NetworkBuilder network;
    std::vector<std::size_t> display_at, source_at;
};

Case random_case(test::Dice& dice) {
    const std::uint32_t switches = 3 + dice.below(4), channels = 2 + dice.below(3);
    std::vector<BitRate> rates;
    for (std::uint32_t c = 0; c < channels; ++c) rates.push_back(megabits_per_second(1 + dice.below(5)));
    Case out{NetworkBuilder(rates), {}, {}};
    for (std::uint32_t s = 0; s < switches; ++s) {
        out.network.with_switch(name(s));
        if (s > 0) out.network.with_link(name(dice.below(s)), name(s));
    }
    for (std::uint32_t i = 0; i < 1 + dice.below(4); ++i) {
        const auto from = dice.below(switches), to = dice.below(switches);
        if (from == to) continue;
        out.network.with_link(name(from), name(to));
        out.network.venue().links.back().name += "#" + std::to_string(i);
    }
    for (auto& l : out.network.venue().links) l.cost = static_cast<int>(1 + dice.below(3));
    for (std::uint32_t c = 0; c < channels; ++c) {
        out.source_at.push_back(dice.below(switches));
        out.network.with_card("card " + std::to_string(c), name(out.source_at[c]), 1);
    }
    for (std::uint32_t s = 0; s < switches; ++s) {
        const std::size_t room = 4 - std::min<std::size_t>(4, out.display_at.size());
        const auto displays = dice.below(static_cast<std::uint32_t>(std::min<std::size_t>(room, 2)) + 1);
        out.display_at.insert(out.display_at.end(), displays, s);
        out.network.with_zone(name(s), static_cast<int>(displays));
    }
    out.network.venue().network.forwarding = Forwarding::routed;
    return out;
}

using Hop = std::pair<LinkIndex, SwitchIndex>;  // link, from

std::map<Hop, std::int64_t> brute_force(Case& c) {
    auto& venue = c.network.venue();
    const Topology topology(venue);
    std::vector<Tree> trees;
    for (SwitchIndex s = 0; s < venue.switches.size(); ++s) trees.push_back(grow_tree(topology, s));
    std::map<Hop, std::int64_t> worst;
    std::vector<std::size_t> choice(c.display_at.size(), 0);
    for (;;) {
        std::map<Hop, std::set<std::size_t>> carried;
        for (std::size_t d = 0; d < choice.size(); ++d) {
            const auto& tree = trees[c.source_at[choice[d]]];
            for (auto s = static_cast<SwitchIndex>(c.display_at[d]); tree.uplink[s].parent != kNone;
                 s = tree.uplink[s].parent)
                carried[{tree.uplink[s].link, tree.uplink[s].parent}].insert(choice[d]);
        }
        for (const auto& [hop, channels] : carried) {
            std::int64_t sum = 0;
            for (const auto ch : channels)
                sum += wire_rate(venue.inputs[ch].programme.rate, {}).bits_per_second();
            worst[hop] = std::max(worst[hop], sum);
        }
        std::size_t d = 0;
        while (d < choice.size() && ++choice[d] == c.source_at.size()) choice[d++] = 0;
        if (d == choice.size()) return worst;
    }
}

}  // namespace

TEST_CASE("routed streams take the shortest way from their own source", "[unit]") {
    auto b = triangle();
    const auto load = b.load();
    CHECK(mbps(direction(load, "a", "c").worst_mix) == Approx(3 * kOne).margin(1e-4));
    CHECK(mbps(direction(load, "b", "c").worst_mix) == Approx(3 * kOne).margin(1e-4));
    CHECK(mbps(direction(load, "a", "b").worst_mix) == 0);
    CHECK(mbps(direction(load, "a", "c").scheduled) == Approx(kOne).margin(1e-4));
    CHECK(mbps(direction(load, "b", "c").everything) == Approx(3 * kOne).margin(1e-4));
    CHECK_FALSE(direction(load, "a", "b").blocked);
    // With a-c lost the streams of a come by b: four displays choose four of six.
    CHECK(mbps(direction(load, "b", "c").worst_failure) == Approx(4 * kOne).margin(1e-4));
    CHECK(direction(load, "b", "c").failure == "link a/c");
    CHECK(mbps(direction(load, "a", "b").worst_failure) == Approx(3 * kOne).margin(1e-4));
    CHECK(load.tree_root.empty());
    CHECK(b.findings().empty());  // routers query their own segments
}

TEST_CASE("the routed worst mix equals the worst of all choices on 500 random networks",
          "[property]") {
    test::Dice dice(77);
    for (int round = 0; round < 500; ++round) {
        Case c = random_case(dice);
        auto worst = brute_force(c);
        const auto load = c.network.load();
        for (LinkIndex l = 0; l < c.network.venue().links.size(); ++l)
            for (std::size_t side = 0; side < 2; ++side) {
                const auto& d = load.links[2 * l + side];
                INFO("round " << round << " " << d.link << " from " << d.from);
                REQUIRE(d.worst_mix.bits_per_second() ==
                        worst[{l, static_cast<SwitchIndex>(number(d.from))}]);
            }
    }
}

namespace {

using Carried = std::map<std::pair<std::string, std::string>, BitRate>;  // by link and where from

Carried carried_at_worst(Case& c) {
    Carried out;
    for (const auto& l : c.network.load().links) out[{l.link, l.from}] = l.worst_mix;
    return out;
}

// What the network of `c` carries at worst without `link` or `node`.
Carried without(Case c, const std::string& link, const std::string& node) {
    auto& v = c.network.venue();
    for (auto& l : v.links)  // a bundle loses a member
        if (l.name == link && l.members > 1)
            l.cost = l.keeps_cost ? *l.cost : *l.cost * l.members / (l.members - 1), l.keeps_cost = true;
    std::erase_if(v.links, [&](const Link& l) {
        return (l.name == link && l.members == 1) || l.from == node || l.to == node;
    });
    for (auto& card : v.cards)
        if (card.attached_to == node) card.attached_to.clear();
    for (auto& zone : v.zones)
        if (zone.attached_to == node) zone.displays = 0, zone.recorded.clear();
    return carried_at_worst(c);
}

// What it carries when the `failed` cards are gone and all that is protected comes from `to`.
Carried taken_over(Case c, const std::set<std::size_t>& failed, const std::string& to) {
    auto& v = c.network.venue();
    for (const auto card : failed)  // each card carries the channel of its number
        v.cards[card].attached_to = v.channels[card].is_protected ? to : "";
    return carried_at_worst(c);
}

void raise(Carried& worst, const Carried& by) {
    for (const auto& [at, rate] : by) worst[at] = std::max(worst[at], rate);
}

void raise_by_take_overs(Case& c, Carried& worst) {
    const auto& v = c.network.venue();
    std::vector<std::set<std::size_t>> failures;
    for (std::size_t card = 0; card < c.source_at.size(); ++card) failures.push_back({card});
    if (!v.chassis.empty()) failures.push_back({0, 1});
    for (const auto& failed : failures)
        for (std::size_t other = 0; other < v.cards.size(); ++other)
            if (!failed.contains(other)) raise(worst, taken_over(c, failed, v.cards[other].attached_to));
}

// With bundles, recorders, zapping, cards that stand ready and channels that are protected.
Case rich_case(test::Dice& dice) {
    Case c = random_case(dice);
    auto& v = c.network.venue();
    if (dice.one_in(2)) v.zones[dice.below(3)].recorded.push_back({"101", {}});
    if (dice.one_in(2)) v.network.zaps_per_display_second = 0.25;
    for (auto& l : v.links)
        if (dice.one_in(4)) l.members = 2 + static_cast<int>(dice.below(2)), l.keeps_cost = dice.one_in(2);
    for (auto& channel : v.channels) channel.is_protected = dice.one_in(2);
    c.network.with_card("ready", name(dice.below(static_cast<std::uint32_t>(v.switches.size()))), 0);
    if (dice.one_in(2)) {
        v.chassis.emplace_back().name = "frame";
        v.cards[0].chassis = v.cards[1].chassis = "frame";
    }
    return c;
}

}  // namespace

TEST_CASE("a routed network after each failure is as one planned so, on 400 networks", "[property]") {
    test::Dice dice(78);
    for (int round = 0; round < 400; ++round) {
        Case c = rich_case(dice);
        const auto load = c.network.load();
        Carried worst;
        for (const auto& l : load.links) worst[{l.link, l.from}] = l.worst_mix;
        for (const auto& l : c.network.venue().links) raise(worst, without(c, l.name, ""));
        for (const auto& s : c.network.venue().switches) raise(worst, without(c, "", s.name));
        raise_by_take_overs(c, worst);
        for (std::size_t i = 0; i < 2 * c.network.venue().links.size(); ++i) {
            const auto& d = load.links[i];
            INFO("round " << round << " " << d.link << " from " << d.from << " after " << d.failure);
            REQUIRE(d.worst_failure == worst[{d.link, d.from}]);
        }
    }
}

TEST_CASE("a router holds the groups of its trees and hears its own displays alone", "[unit]") {
    auto b = triangle();
    b.venue().zones[0].recorded.push_back({"102", {}});
    const auto load = b.load();
    REQUIRE(load.switches.size() == 3);
    const auto& a = load.switches[0];
    const auto& c = load.switches[2];
    CHECK(a.groups == 3);  // its own three, which c can call for
    CHECK(a.joins_on_a_port == 3);
    CHECK(a.reports_after_query == 0);
    CHECK(c.groups == 5);  // four displays and a recorder
    CHECK(c.reports_after_query == Approx(5.0 / 10));  // within the query response time
    CHECK(c.reports_after_power_cut == Approx(5.0 * 2 / 1));
    b.at("c").group_table = 4;
    b.load();
    CHECK(ids(b.findings()) == std::vector<std::string>{"error network.group-table-full"});
}

TEST_CASE("the fullest member of a routed bundle is found by its hash", "[unit]") {
    auto b = triangle();
    b.link("a/c").members = 2;
    b.link("a/c").hash = BundleHash::mac;
    const auto load = b.load();
    const auto& bundle = direction(load, "a", "c");
    // Three groups in a row: the last bytes 1, 2, 3 deal two to one of the members.
    CHECK(mbps(bundle.fullest_member) == Approx(2 * kOne).margin(1e-4));
    CHECK(bundle.member_exact);
    CHECK_FALSE(bundle.member_rule.empty());
}

TEST_CASE("the percentile of the worst failure is that of what flows then", "[unit]") {
    for (const auto forwarding : {Forwarding::routed, Forwarding::spanning_tree}) {
        NetworkBuilder b(std::vector<BitRate>(200, megabits_per_second(4)));
        for (auto& input : b.venue().inputs) input.programme.peak = megabits_per_second(8);
        b.with_switch("a", 0).with_switch("b").with_switch("c").querier("a", 0x0A000001);
        b.with_link("a", "b", 10).with_link("a", "c", 10).with_link("b", "c", 10);
        b.with_card("A1", "a", 200).with_zone("b", 50).with_zone("c", 200);
        b.venue().network.forwarding = forwarding;
        const auto load = b.load();
        const auto& link = direction(load, "a", "b");
        CHECK(link.groups.size() == 50);
        CHECK(link.failure == "link a/c");  // then c is served by b
        CHECK(mbps(link.worst_failure) == Approx(mbps(direction(load, "a", "c").worst_mix)));
        CHECK(link.failure_nearly_always == direction(load, "a", "c").nearly_always);
        CHECK(link.failure_nearly_always < link.worst_failure);
        CHECK(direction(load, "a", "c").failure_nearly_always == direction(load, "a", "c").nearly_always);
    }
}

TEST_CASE("a TTL that routers use up on the way is an error", "[unit]") {
    auto b = triangle();
    b.venue().addressing.ttl = 2;  // two routers: a or b, and c
    b.load();
    REQUIRE(ids(b.findings()) == std::vector<std::string>{"error network.ttl-too-low"});
    CHECK(to_line(b.findings()[0]) ==
          "error: network.ttl-too-low: switch c: streams pass 2 routers on the way to its displays, "
          "their TTL is 2 (1 too low); set ttl to 3 or more in [addressing]");
    b.venue().addressing.ttl = 3;
    b.load();
    CHECK(b.findings().empty());
}

}  // namespace routed_test
