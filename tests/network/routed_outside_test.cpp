// SPDX-License-Identifier: Apache-2.0
// Routed networks against Boost.Graph (shortest paths after every failure) and GLPK (the heaviest
// choice of displays as a transport problem).
#include <glpk.h>

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <catch2/catch.hpp>
#include <map>
#include <memory>
#include <set>

#include "planner/network/routed_mix.hpp"
#include "support/dice.hpp"
#include "support/network_builder.hpp"

using namespace mastline;
using test::NetworkBuilder;

namespace routed_outside_test {

namespace {

std::string name(std::size_t s) { return "s" + std::to_string(s); }
std::size_t number(const std::string& n) { return std::stoul(n.substr(1)); }

// --- paths ---

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property,
                                    boost::property<boost::edge_weight_t, std::int64_t>>;
using Loads = std::map<std::pair<std::size_t, std::size_t>, std::int64_t>;  // from, to

// Costs are powers of two, so that no two ways cost the same; so many displays that all is wanted
// wherever one is.
NetworkBuilder random_network(test::Dice& dice) {
    const std::uint32_t switches = 4 + dice.below(8);
    NetworkBuilder b(std::vector<BitRate>(6, megabits_per_second(7)));
    for (std::uint32_t s = 0; s < switches; ++s) {
        b.with_switch(name(s));
        if (s > 0) b.with_link(name(dice.below(s)), name(s));
        if (dice.one_in(2)) b.with_zone(name(s), 20);
    }
    for (std::uint32_t i = 0; i < 1 + dice.below(8); ++i) {
        const auto from = dice.below(switches), to = dice.below(switches);
        const bool there = std::any_of(b.venue().links.begin(), b.venue().links.end(), [&](const Link& l) {
            return (l.from == name(from) && l.to == name(to)) || (l.from == name(to) && l.to == name(from));
        });
        if (from != to && !there) b.with_link(name(from), name(to));
    }
    std::vector<int> bits;
    for (std::size_t i = 0; i < b.venue().links.size(); ++i) bits.push_back(static_cast<int>(i));
    for (std::size_t i = bits.size(); i-- > 1;) std::swap(bits[i], bits[dice.below(static_cast<std::uint32_t>(i + 1))]);
    for (std::size_t i = 0; i < bits.size(); ++i) b.venue().links[i].cost = 1 << bits[i];
    for (int c = 0; c < 3; ++c) b.with_card("card " + std::to_string(c), name(dice.below(switches)), 2);
    b.venue().network.forwarding = Forwarding::routed;
    return b;
}

// What every direction carries with `link` or `node` lost: the two channels of each card whose
// shortest paths to switches with displays lead over it.
Loads loads_without(const Venue& venue, std::int64_t channel, std::size_t link, std::size_t node) {
    Graph graph(venue.switches.size());
    for (std::size_t l = 0; l < venue.links.size(); ++l) {
        const auto from = number(venue.links[l].from), to = number(venue.links[l].to);
        if (l != link && from != node && to != node) boost::add_edge(from, to, *venue.links[l].cost, graph);
    }
    Loads out;
    for (const auto& card : venue.cards) {
        const auto root = number(card.attached_to);
        if (root == node) continue;
        std::vector<std::size_t> parent(venue.switches.size());
        boost::dijkstra_shortest_paths(graph, root, boost::predecessor_map(parent.data()));
        std::set<std::pair<std::size_t, std::size_t>> used;
        for (const auto& zone : venue.zones)
            for (auto at = number(zone.attached_to); parent[at] != at; at = parent[at])
                used.emplace(parent[at], at);
        for (const auto& hop : used) out[hop] += 2 * channel;
    }
    return out;
}

// --- displays ---

struct Choice {
    std::unique_ptr<NetworkBuilder> network;
    std::vector<JoinCounts> always;
    Crowds crowds;
    std::size_t trees = 0;
};

// Channels at up to five switches, and crowds of displays that some of their trees reach.
Choice random_choice(test::Dice& dice) {
    Choice out;
    out.trees = 1 + dice.below(5);
    const std::uint32_t channels = 3 + dice.below(20);
    std::vector<BitRate> rates;
    for (std::uint32_t c = 0; c < channels; ++c) rates.push_back(megabits_per_second(1 + dice.below(12)));
    out.network = std::make_unique<NetworkBuilder>(rates);
    for (std::size_t t = 0; t < out.trees; ++t) out.network->with_switch(name(t));
    for (std::uint32_t c = 0; c < channels; ++c)
        out.network->with_card("card " + std::to_string(c), name(dice.below(static_cast<std::uint32_t>(out.trees))), 1);
    out.network->venue().network.zaps_per_display_second = dice.one_in(2) ? 0.1 : 0;
    out.always.resize(out.trees);
    for (auto& joins : out.always)
        if (dice.one_in(3)) joins.join(dice.below(channels));
    for (std::uint32_t i = dice.below(5); i-- > 0;) {
        TreeSet trees(out.trees);
        for (std::size_t t = 0; t < out.trees; ++t)
            if (dice.one_in(2)) trees.set(t);
        out.crowds.add(trees, 1 + dice.below(5));
    }
    return out;
}

// Most Mbit/s: each stream at most once, from each crowd at most its displays. Streams joined anyway
// are no choice.
double heaviest_by_glpk(const Choice& c, const Site& site, const std::set<CarriageIndex>& joined) {
    const std::unique_ptr<glp_prob, void (*)(glp_prob*)> lp(glp_create_prob(), glp_delete_prob);
    glp_term_out(GLP_OFF);
    glp_set_obj_dir(lp.get(), GLP_MAX);
    struct Pool {
        TreeSet trees;
        std::int64_t displays;
    };
    std::vector<Pool> pools;
    Pool zapped{TreeSet(c.trees), 0};
    for (std::size_t i = 0; i < c.crowds.size(); ++i) {
        TreeSet trees(c.trees);
        for (std::size_t t = 0; t < c.trees; ++t)
            if (c.crowds.has(i, t)) trees.set(t);
        if (trees.empty()) continue;
        pools.push_back({trees, c.crowds.displays(i)});
        zapped.trees.add(trees);
        zapped.displays += c.crowds.displays(i);
    }
    zapped.displays = site.rules.choices(zapped.displays) - zapped.displays;
    if (zapped.displays > 0) pools.push_back(zapped);
    const int streams = static_cast<int>(site.carriages.size());
    glp_add_rows(lp.get(), streams + static_cast<int>(pools.size()));
    for (int s = 1; s <= streams; ++s) glp_set_row_bnds(lp.get(), s, GLP_UP, 0, 1);
    for (std::size_t p = 0; p < pools.size(); ++p)
        glp_set_row_bnds(lp.get(), streams + 1 + static_cast<int>(p), GLP_UP, 0, static_cast<double>(pools[p].displays));
    for (int s = 0; s < streams; ++s) {
        const auto& carriage = site.carriages[static_cast<std::size_t>(s)];
        if (joined.contains(static_cast<CarriageIndex>(s))) continue;
        for (std::size_t p = 0; p < pools.size(); ++p) {
            if (!pools[p].trees.has(*carriage.enters)) continue;
            const int column = glp_add_cols(lp.get(), 1);
            glp_set_col_bnds(lp.get(), column, GLP_LO, 0, 0);
            glp_set_obj_coef(lp.get(), column, test::mbps(carriage.plain));
            const int rows[] = {0, s + 1, streams + 1 + static_cast<int>(p)};
            const double ones[] = {0, 1, 1};
            glp_set_mat_col(lp.get(), column, 2, rows, ones);
        }
    }
    REQUIRE(glp_simplex(lp.get(), nullptr) == 0);
    REQUIRE(glp_get_status(lp.get()) == GLP_OPT);
    return glp_get_obj_val(lp.get());
}

}  // namespace

TEST_CASE("routed links carry after every failure what Boost's shortest paths lead over them", "[outside]") {
    test::Dice dice(91);
    for (int round = 0; round < 200; ++round) {
        auto b = random_network(dice);
        const auto& venue = b.venue();
        const auto load = b.load();
        const auto channel = network_carriages(venue, b.assignment(), b.addressing())[0].plain.bits_per_second();
        constexpr std::size_t none = 1000;
        const Loads whole = loads_without(venue, channel, none, none);
        Loads worst = whole;
        const auto raise = [&worst](const Loads& by) {
            for (const auto& [hop, rate] : by) worst[hop] = std::max(worst[hop], rate);
        };
        for (std::size_t l = 0; l < venue.links.size(); ++l) raise(loads_without(venue, channel, l, none));
        for (std::size_t s = 0; s < venue.switches.size(); ++s) raise(loads_without(venue, channel, none, s));
        for (std::size_t i = 0; i < 2 * venue.links.size(); ++i) {
            const auto& d = load.links[i];
            const std::pair hop{number(d.from), number(d.to)};
            INFO("round " << round << " " << d.from << " to " << d.to << " after " << d.failure);
            const auto at = whole.find(hop);
            REQUIRE(d.worst_mix.bits_per_second() == (at == whole.end() ? 0 : at->second));
            REQUIRE(d.worst_failure.bits_per_second() == worst[hop]);
        }
    }
}

TEST_CASE("displays that some trees reach and others do not choose as GLPK says, in 1,000 cases", "[outside]") {
    test::Dice dice(92);
    for (int round = 0; round < 1000; ++round) {
        Choice c = random_choice(dice);
        const auto& venue = c.network->venue();
        const Site site(venue, network_carriages(venue, c.network->assignment(), c.network->addressing()));
        std::vector<RoutedCaller> callers;
        std::vector<std::shared_ptr<const Heaviest::Ladder>> ladders;
        std::set<CarriageIndex> joined;
        double besides = 0;
        for (std::size_t t = 0; t < c.trees; ++t) {
            ladders.push_back(site.heaviest.ladder(site.own[t].sources));
            callers.push_back({t, &site.own[t].sources, ladders.back().get(), &c.always[t]});
            for (const auto& e : c.always[t].entries())
                if (site.carriages[e.carriage].enters == static_cast<SwitchIndex>(t) && joined.insert(e.carriage).second)
                    besides += test::mbps(site.carriages[e.carriage].plain);
        }
        const auto shares = shares_of(callers, routed_choices(site, callers, c.crowds));
        const double expected = heaviest_by_glpk(c, site, joined) + besides;
        INFO("round " << round);
        REQUIRE(test::mbps(rate_of(site, shares, false)) == Approx(expected).epsilon(1e-9));
        double of_groups = 0;
        for (const auto g : groups_of(site, shares)) of_groups += test::mbps(site.carriages[g].plain);
        REQUIRE(of_groups == Approx(expected).epsilon(1e-9));
        double among_all = 0;
        for (const auto g : routed_mix_among(site, callers, c.crowds, site.heaviest.by_rate()))
            among_all += test::mbps(site.carriages[g].plain);
        REQUIRE(among_all == Approx(expected).epsilon(1e-9));
    }
}

}  // namespace routed_outside_test
