// SPDX-License-Identifier: Apache-2.0
// Failures reckoned where they touch something, against the whole network reckoned anew.
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "support/dice.hpp"
#include "support/network_builder.hpp"

using namespace mastline;
using test::NetworkBuilder;

namespace failures_property_test {

namespace {

std::string name(std::size_t s) { return "s" + std::to_string(s); }

NetworkBuilder random_network(test::Dice& dice) {
    std::vector<BitRate> rates;
    for (int c = 0; c < 6; ++c) rates.push_back(megabits_per_second(1 + dice.below(9)));
    NetworkBuilder b(rates);
    const std::uint32_t switches = 4 + dice.below(6);
    for (std::uint32_t s = 0; s < switches; ++s) {
        b.with_switch(name(s), static_cast<int>(4096 * dice.below(4)));
        if (s > 0) b.with_link(name(dice.below(s)), name(s), dice.one_in(3) ? 10 : 1);
    }
    for (std::uint32_t i = 0; i < dice.below(5); ++i) {
        const auto from = dice.below(switches), to = dice.below(switches);
        if (from == to) continue;
        b.with_link(name(from), name(to));
        b.venue().links.back().name += " extra " + std::to_string(i);
    }
    for (std::uint32_t c = 0; c < 3; ++c) b.with_card("card " + std::to_string(c), name(dice.below(switches)), 2);
    for (std::uint32_t s = 0; s < switches; ++s) {
        std::vector<std::string> recorded;
        if (dice.one_in(4)) recorded.push_back(std::to_string(101 + dice.below(6)));
        b.with_zone(name(s), static_cast<int>(dice.below(4)), {}, recorded);
        if (dice.one_in(3)) b.querier(name(s), 0x0A000000 + dice.below(1000) * 16 + s);
        b.at(name(s)).multicast_router = dice.one_in(8);
        b.at(name(s)).snooping = !dice.one_in(12);
    }
    return b;
}

// A core with edge switches on one link, which most of the failures leave alone. One in `one` floods; of a
// third of the networks all do, and one in five has no querier, in which some switches flood.
NetworkBuilder network_that_floods(test::Dice& dice, Forwarding forwarding) {
    std::vector<BitRate> rates;
    for (int c = 0; c < 9; ++c) rates.push_back(megabits_per_second(1 + dice.below(9)));
    NetworkBuilder b(rates);
    auto& venue = b.venue();
    venue.network.forwarding = forwarding;
    venue.addressing.ttl = 64;
    const std::uint32_t core = 3 + dice.below(6), switches = core + dice.below(12);
    const bool bundles = dice.one_in(2), all = dice.one_in(3), tagged = dice.one_in(2);
    const std::uint32_t one = 2 + dice.below(8);
    const auto link = [&](std::uint32_t from, std::uint32_t to) {
        b.with_link(name(from), name(to), dice.one_in(3) ? 10 : 1);
        auto& l = venue.links.back();
        l.name += " #" + std::to_string(venue.links.size());
        l.hash = BundleHash::address;
        l.cost = static_cast<int>(1 + dice.below(3));
        if (bundles && dice.one_in(3)) l.members = 2;
    };
    for (std::uint32_t s = 0; s < switches; ++s) {
        b.with_switch(name(s), static_cast<int>(4096 * dice.below(4)));
        if (s > 0) link(dice.below(std::min(s, core)), s);
    }
    for (std::uint32_t i = 0; i < core; ++i) {
        const auto from = dice.below(core), to = dice.below(switches);
        if (from != to) link(from, to);
    }
    for (std::uint32_t c = 0; c < 3; ++c) {
        b.with_card("card " + std::to_string(c), name(dice.below(switches)), 3);
        venue.cards.back().source = IpAddress::v4(0x0A000001 + 7 * c);
    }
    const bool queried = !dice.one_in(5);
    for (std::uint32_t s = 0; s < switches; ++s) {
        std::vector<std::string> recorded;
        if (dice.one_in(6)) recorded.push_back(std::to_string(101 + dice.below(9)));
        b.with_zone(name(s), static_cast<int>(dice.below(4)), {}, recorded);
        if (queried && dice.one_in(4)) b.querier(name(s), 0x0A000000 + dice.below(1000) * 32 + s);
        auto& at = b.at(name(s));
        at.multicast_router = queried && dice.one_in(20);
        at.snooping = !all && !dice.one_in(one);
        at.floods_unregistered = dice.one_in(15);
        at.floods_without_querier = dice.one_in(4);
    }
    if (tagged) venue.addressing.vlan = 20;
    return b;
}

// The names of the switches that `from` reaches over the links of `venue`.
std::set<std::string> piece_of(const Venue& venue, const std::string& from) {
    std::set<std::string> piece{from};
    for (bool grown = true; grown;) {
        grown = false;
        for (const auto& l : venue.links)
            if (piece.contains(l.from) != piece.contains(l.to))
                grown = true, piece.insert(l.from), piece.insert(l.to);
    }
    return piece;
}

using Loads = std::map<std::string, std::int64_t>;  // by link name and direction

// Each second carriage as if it were planned as the first, where the switches at hand have its card and not that of
// the first; those that wait beside their first stay.
void stand_in(const Venue& venue, const std::set<std::string>& piece, Assignment& assignment, Addressing& addressing) {
    std::vector<CarriageAddress> waiting;
    const auto is_here = [&](std::size_t home) {
        return piece.contains(venue.cards[assignment.homes[home].card].attached_to);
    };
    for (const auto& silent : addressing.silent) {
        for (const auto& sent : addressing.carriages) {
            if (sent.flow.group.address() != silent.flow.group.address()) continue;
            if (is_here(silent.home) && !is_here(sent.home)) assignment.homes[sent.home].card = assignment.homes[silent.home].card;
            else waiting.push_back(silent);
        }
    }
    addressing.silent = waiting;
}

// Reckons what is left of a venue piece by piece, as if it had been planned so.
void raise_anew(const Venue& left, Assignment all_homes, Addressing all_addresses, Loads& worst) {
    std::set<std::string> done;
    for (const auto& s : left.switches) {
        if (done.contains(s.name)) continue;
        const auto piece = piece_of(left, s.name);
        done.insert(piece.begin(), piece.end());
        Venue one = left;
        std::erase_if(one.switches, [&](const Switch& x) { return !piece.contains(x.name); });
        std::erase_if(one.links, [&](const Link& l) { return !piece.contains(l.from); });
        auto assignment = all_homes;
        auto addressing = all_addresses;
        stand_in(one, piece, assignment, addressing);
        Findings ignored;
        const auto load = network_load(one, assignment, addressing, ignored);
        for (std::size_t i = 0; i < 2 * one.links.size(); ++i) {
            const auto& l = load.links[i];
            auto& w = worst[l.link + " to " + l.to];
            w = std::max({w, l.worst_mix.bits_per_second(), l.flooded.bits_per_second()});
            auto& member = worst[l.link + " to " + l.to + ", a member"];
            // Of a bundle with one member left that one carries what floods too.
            const auto fullest = l.members == 1 ? std::max(l.worst_mix, l.flooded) : l.fullest_member;
            member = std::max(member, fullest.bits_per_second());
        }
        for (const auto& l : load.links) {
            if (l.of != LoadOf::display_port) continue;
            worst[l.link] = std::max({worst[l.link], l.worst_mix.bits_per_second(), l.flooded.bits_per_second()});
        }
    }
}

// Every bundle's hash is known.
NetworkBuilder network_of_bundles(test::Dice& dice, Forwarding forwarding) {
    NetworkBuilder b = random_network(dice);
    auto& venue = b.venue();
    venue.network.forwarding = forwarding;
    venue.addressing.ttl = 64;
    for (std::uint32_t c = 0; c < venue.cards.size(); ++c) venue.cards[c].source = IpAddress::v4(0x0A000001 + 7 * c);
    for (auto& s : venue.switches) s.snooping = !dice.one_in(8), s.floods_without_querier = dice.one_in(2);
    for (auto& l : venue.links) {
        l.hash = BundleHash::address;
        l.cost = static_cast<int>(1 + dice.below(4));
        l.members = dice.one_in(2) ? static_cast<int>(2 + dice.below(3)) : 1;
    }
    return b;
}

// Every single failure reckoned anew, that of a member of each bundle too.
Loads worst_anew(NetworkBuilder& b, const Addressing& addressing) {
    Loads worst;
    raise_anew(b.venue(), b.assignment(), addressing, worst);
    for (std::size_t i = 0; i < b.venue().links.size(); ++i) {
        Venue left = b.venue();
        if (left.links[i].members > 1) --left.links[i].members;
        else left.links.erase(left.links.begin() + static_cast<std::ptrdiff_t>(i));
        raise_anew(left, b.assignment(), addressing, worst);
    }
    for (const auto& lost : b.venue().switches) {
        Venue left = b.venue();
        std::erase_if(left.switches, [&](const Switch& s) { return s.name == lost.name; });
        std::erase_if(left.links, [&](const Link& l) { return l.from == lost.name || l.to == lost.name; });
        raise_anew(left, b.assignment(), addressing, worst);
    }
    return worst;
}

// Every card lost in turn: what is protected of its channels comes from where another card is, the rest ends.
void raise_by_take_overs(NetworkBuilder& b, const Addressing& addressing, Loads& worst) {
    Venue venue = b.venue();
    venue.cards.emplace_back().name = "plugged in nowhere";
    const auto nowhere = venue.cards.size() - 1;
    for (std::size_t lost = 0; lost < nowhere; ++lost)
        for (std::size_t other = 0; other < nowhere; ++other) {
            if (other == lost) continue;
            auto moved = b.assignment();
            for (auto& home : moved.homes)
                if (home.card == lost) home.card = venue.channels[home.channel].is_protected ? other : nowhere;
            raise_anew(venue, moved, addressing, worst);
        }
}

// Likewise where channels are carried twice: each stream comes from the card that waits for it, and what is joined all
// the time from the other.
void raise_without_cards(NetworkBuilder& b, const Addressing& addressing, Loads& worst) {
    for (std::size_t lost = 0; lost < b.venue().cards.size(); ++lost) {
        Venue left = b.venue();
        left.cards[lost].attached_to = "nowhere";
        // What it listened to flows on until its memberships end.
        for (const auto& silent : addressing.silent) {
            const auto& home = b.assignment().homes[silent.home];
            if (home.card != lost) continue;
            left.zones.emplace_back().attached_to = b.venue().cards[lost].attached_to;
            left.zones.back().recorded.push_back({to_text(left.channels[home.channel].number), {}});
        }
        raise_anew(left, b.assignment(), addressing, worst);
    }
}

// By failure and zone: those that miss a stream that is still sent to some display's piece or another. Along a
// spanning tree the part with the root is not named.
using Cuts = std::set<std::pair<std::string, std::string>>;

std::set<std::size_t> sent_in(const Venue& venue, const std::set<std::string>& piece, const Assignment& assignment) {
    std::set<std::size_t> out;
    for (const auto& home : assignment.homes)
        if (piece.contains(venue.cards[home.card].attached_to)) out.insert(home.channel);
    return out;
}

void add_cuts(const Venue& venue, const Venue& left, const Assignment& assignment, const std::string& root,
              const std::string& failure, Cuts& cuts) {
    std::set<std::string> all;
    for (const auto& s : left.switches) all.insert(s.name);
    const auto sent = sent_in(left, all, assignment);
    for (const auto& zone : venue.zones) {
        if (zone.displays == 0) continue;
        const auto piece = piece_of(left, zone.attached_to);
        const bool is_main = venue.network.forwarding == Forwarding::spanning_tree && piece.contains(root);
        const bool lives = all.contains(zone.attached_to);
        if (!lives || (!is_main && sent_in(left, piece, assignment) != sent)) cuts.emplace(failure, zone.name);
    }
}

Cuts cuts_anew(const Venue& venue, const Assignment& assignment, const std::string& root) {
    Cuts out;
    for (const auto& link : venue.links) {
        Venue left = venue;
        std::erase_if(left.links, [&](const Link& l) { return l.name == link.name; });
        if (link.members == 1) add_cuts(venue, left, assignment, root, "link " + link.name, out);
    }
    for (const auto& lost : venue.switches) {
        Venue left = venue;
        std::erase_if(left.switches, [&](const Switch& s) { return s.name == lost.name; });
        std::erase_if(left.links, [&](const Link& l) { return l.from == lost.name || l.to == lost.name; });
        add_cuts(venue, left, assignment, root, "switch " + lost.name, out);
    }
    return out;
}

// Of a direction, and of its fullest member where it has several.
void require_worst(const LinkLoad& l, Loads& worst) {
    REQUIRE(l.worst_failure.bits_per_second() == worst[l.link + " to " + l.to]);
    if (l.members < 2) return;
    REQUIRE(l.failure_member_exact);
    REQUIRE(l.failure_member.bits_per_second() == worst[l.link + " to " + l.to + ", a member"]);
}

// Both ways of every link; how many are fullest without a card.
int require_worst_links(const Venue& venue, const NetworkLoad& load, Loads& worst) {
    int by_card = 0;
    for (std::size_t i = 0; i < 2 * venue.links.size(); ++i) {
        const auto& l = load.links[i];
        INFO(l.link << " to " << l.to << " failure " << l.failure);
        require_worst(l, worst);
        if (l.failure.starts_with("card ")) ++by_card;
    }
    return by_card;
}

// Half of the channels, from another of three cards.
void carry_twice(NetworkBuilder& b, test::Dice& dice) {
    const auto firsts = b.assignment().homes;
    for (const auto& first : firsts) {
        auto& channel = b.venue().channels[first.channel];
        channel.is_protected = dice.one_in(2);
        const auto card = (first.card + 1 + dice.below(2)) % 3;
        if (channel.is_protected) b.assignment().homes.push_back({.channel = first.channel, .copy = 2, .card = card});
    }
}

// Returns how many displays' ports a failure floods with more than comes to them without.
int require_worst_ports(const NetworkLoad& load, Loads& worst) {
    int more = 0;
    for (const auto& l : load.links) {
        if (l.of != LoadOf::display_port) continue;
        INFO(l.link << " failure " << l.failure);
        REQUIRE(l.worst_failure.bits_per_second() == worst[l.link]);
        if (!l.failure.empty()) ++more;
    }
    return more;
}

}  // namespace

TEST_CASE("the fullest member in any failure equals that of reckoning 300 networks of bundles anew", "[property]") {
    test::Dice dice(15);
    int worse = 0;
    for (int round = 0; round < 300; ++round) {
        auto b = network_of_bundles(dice, round % 2 == 0 ? Forwarding::spanning_tree : Forwarding::routed);
        const auto addressing = b.addressing();
        auto worst = worst_anew(b, addressing);
        const auto load = b.load();
        for (std::size_t i = 0; i < 2 * b.venue().links.size(); ++i) {
            const auto& l = load.links[i];
            INFO("round " << round << " " << l.link << " to " << l.to << " failure " << l.member_failure);
            require_worst(l, worst);
            if (l.members < 2) continue;
            REQUIRE(l.member_failure.empty() == (l.failure_member == l.fullest_member));
            if (!l.member_failure.empty() && !l.member_failure.starts_with("member of")) ++worse;
        }
    }
    CHECK(worse > 100);
}

TEST_CASE("the worst failure equals that of reckoning 400 networks anew for each failure",
          "[property]") {
    test::Dice dice(5);
    for (int round = 0; round < 400; ++round) {
        auto b = random_network(dice);
        const auto addressing = b.addressing();
        auto worst = worst_anew(b, addressing);
        const auto load = b.load();
        for (std::size_t i = 0; i < 2 * b.venue().links.size(); ++i) {
            const auto& l = load.links[i];
            INFO("round " << round << " " << l.link << " to " << l.to << " failure " << l.failure);
            REQUIRE(l.worst_failure.bits_per_second() == worst[l.link + " to " + l.to]);
        }
        require_worst_ports(load, worst);
    }
}

TEST_CASE("where switches flood the worst failure equals that of reckoning 600 networks anew", "[property]") {
    test::Dice dice(31);
    int worse = 0, taken_over = 0, ports = 0;
    for (int round = 0; round < 600; ++round) {
        auto b = network_that_floods(dice, round % 4 == 0 ? Forwarding::routed : Forwarding::spanning_tree);
        if (round % 2 == 0)
            for (auto& channel : b.venue().channels) channel.is_protected = !dice.one_in(3);
        const auto addressing = b.addressing();
        auto worst = worst_anew(b, addressing);
        raise_by_take_overs(b, addressing, worst);
        const auto load = b.load();
        for (std::size_t i = 0; i < 2 * b.venue().links.size(); ++i) {
            const auto& l = load.links[i];
            INFO("round " << round << " " << l.link << " to " << l.to << " failure " << l.failure);
            require_worst(l, worst);
            if (l.flooded <= l.worst_mix || l.worst_failure <= l.flooded) continue;
            ++worse;
            if (l.failure.starts_with("card ")) ++taken_over;
        }
        ports += require_worst_ports(load, worst);
    }
    CHECK(worse > 100);
    CHECK(taken_over > 50);
    CHECK(ports > 100);
}

TEST_CASE("cards that wait in the group of the first send in every part of 600 networks where it is not heard",
          "[property]") {
    test::Dice dice(77);
    int by_card = 0, by_loss = 0, spared = 0;
    for (int round = 0; round < 600; ++round) {
        const auto forwarding = round % 3 == 0 ? Forwarding::routed : Forwarding::spanning_tree;
        auto b = network_that_floods(dice, forwarding);
        auto& venue = b.venue();
        if (round % 2 == 0)  // few flood, so that the rules of those that do not are asked too
            for (auto& s : venue.switches) s.snooping = true, s.floods_unregistered = false, s.floods_without_querier = false;
        for (auto& l : venue.links) l.members = 1;  // the hash of another sender would be another
        venue.protection = {.mode = ProtectionMode::carried_twice, .second = SecondCarriage::same_group};
        const auto firsts = b.assignment();
        carry_twice(b, dice);
        const auto addressing = b.addressing();
        auto worst = worst_anew(b, addressing);
        raise_without_cards(b, addressing, worst);
        const auto load = b.load();
        INFO("round " << round);
        by_card += require_worst_links(venue, load, worst);
        require_worst_ports(load, worst);
        const auto expected = cuts_anew(venue, b.assignment(), load.tree_root);
        Cuts cuts;
        for (const auto& c : load.cut_off) cuts.emplace(c.failure, c.zone);
        REQUIRE(cuts == expected);
        spared += static_cast<int>(cuts_anew(venue, firsts, load.tree_root).size()) - static_cast<int>(cuts.size());
        for (const auto& l : load.links)
            if (l.failure.starts_with("switch ") || l.failure.starts_with("link ")) ++by_loss;
    }
    CHECK(by_card > 100);
    CHECK(by_loss > 100);
    CHECK(spared > 100);
}

TEST_CASE("what is joined all the time comes as its second copy in every part of 600 networks that loses the first",
          "[property]") {
    test::Dice dice(203);
    int by_card = 0;
    for (int round = 0; round < 600; ++round) {
        auto b = network_that_floods(dice, round % 2 == 0 ? Forwarding::routed : Forwarding::spanning_tree);
        auto& venue = b.venue();
        if (round % 3 != 0)
            for (auto& s : venue.switches) s.snooping = true, s.floods_unregistered = false, s.floods_without_querier = false;
        venue.protection.mode = ProtectionMode::carried_twice;
        carry_twice(b, dice);
        for (auto& zone : venue.zones) {
            zone.displays = static_cast<int>(dice.below(2));  // few, so that joins are what is carried
            if (dice.one_in(2)) zone.recorded.push_back({std::to_string(101 + dice.below(9)), {}});
        }
        const auto addressing = b.addressing();
        auto worst = worst_anew(b, addressing);
        raise_without_cards(b, addressing, worst);
        const auto load = b.load();
        INFO("round " << round);
        by_card += require_worst_links(venue, load, worst);
    }
    CHECK(by_card > 100);
}

}  // namespace failures_property_test
