// SPDX-License-Identifier: Apache-2.0
// The tree after every single failure against the shortest paths of Boost.Graph.
#include "planner/network/reconverge.hpp"

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <catch2/catch.hpp>

#include "support/dice.hpp"
#include "support/network_builder.hpp"

using namespace mastline;
using test::NetworkBuilder;

namespace reconverge_test {

namespace {

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property,
                                    boost::property<boost::edge_weight_t, std::int64_t>>;

std::string name(std::size_t s) { return "s" + std::to_string(s); }
std::size_t number(const std::string& n) { return std::stoul(n.substr(1)); }

// Distances from `root` with the lost part left out; the greatest number where there is no way.
std::vector<std::int64_t> distances(const NetworkBuilder& network, const Topology& t, SwitchIndex root,
                                    const NetworkLoss& loss) {
    auto& venue = const_cast<NetworkBuilder&>(network).venue();
    Graph graph(venue.switches.size());
    for (LinkIndex l = 0; l < venue.links.size(); ++l) {
        const auto from = number(venue.links[l].from), to = number(venue.links[l].to);
        if (from == loss.node || to == loss.node) continue;
        if (l == loss.link && loss.new_cost == kUnreached) continue;
        boost::add_edge(from, to, l == loss.link ? loss.new_cost : t.cost[l], graph);
    }
    std::vector<std::int64_t> out(venue.switches.size());
    boost::dijkstra_shortest_paths(graph, root, boost::distance_map(out.data()));
    return out;
}

NetworkBuilder random_network(test::Dice& dice) {
    NetworkBuilder b({});
    const std::uint32_t switches = 3 + dice.below(25);
    b.with_switch("s0", 0);
    for (std::uint32_t s = 1; s < switches; ++s)
        b.with_switch(name(s)).with_link(name(dice.below(s)), name(s));
    for (std::uint32_t i = 0; i < dice.below(15); ++i) {
        const auto from = dice.below(switches), to = dice.below(switches);
        if (from != to) b.with_link(name(from), name(to));
    }
    for (auto& l : b.venue().links) l.cost = static_cast<int>(1 + dice.below(5));
    return b;
}

void compare(const NetworkBuilder& b, const Topology& t, const Tree& tree, const Hangers& hangers,
             Reconvergence& paths, const NetworkLoss& loss) {
    const auto after = paths.after(loss);
    const auto expected = distances(b, t, tree.root, loss);
    std::vector<bool> is_island(expected.size(), false);
    for (const auto& island : after.islands)
        for (const auto s : island) is_island[s] = true;
    for (SwitchIndex s = 0; s < expected.size(); ++s) {
        if (s == loss.node) continue;
        REQUIRE(is_island[s] == (expected[s] == kUnreached));
        if (!is_island[s] && !hangers.hangs(s)) REQUIRE(paths.uplink()[s].distance == expected[s]);
        if (is_island[s] || s == tree.root) continue;
        const auto& up = paths.uplink()[s];
        REQUIRE(expected[up.parent] + (up.link == loss.link ? loss.new_cost : t.cost[up.link]) == expected[s]);
        // 802.1D: no neighbour of lower rank offers the same cost.
        for (const auto& n : t.neighbours(s)) {
            if (n.node == loss.node || expected[n.node] == kUnreached) continue;
            if (n.link == loss.link && loss.new_cost == kUnreached) continue;
            const auto cost = n.link == loss.link ? loss.new_cost : t.cost[n.link];
            if (expected[n.node] + cost == expected[s]) REQUIRE(t.rank[up.parent] <= t.rank[n.node]);
        }
    }
}

}  // namespace

TEST_CASE("after every single failure each switch is as near to the root as Boost.Graph says",
          "[outside]") {
    test::Dice dice(9);
    int hung = 0;
    for (int round = 0; round < 150; ++round) {
        auto b = random_network(dice);
        const Topology t(b.venue());
        const Tree tree = grow_tree(t, lowest_bridge(t));
        std::vector<char> apart(t.size(), false);
        apart[tree.root] = true;
        for (const auto& hangers : {Hangers(t), Hangers(t, apart)}) {
            Reconvergence paths(t, tree, hangers);
            for (LinkIndex l = 0; l < b.venue().links.size(); ++l) {
                compare(b, t, tree, hangers, paths, {.link = l});
                compare(b, t, tree, hangers, paths, {.link = l, .new_cost = t.cost[l] + 2});
            }
            for (SwitchIndex s = 1; s < b.venue().switches.size(); ++s)
                compare(b, t, tree, hangers, paths, {.node = s});
            for (SwitchIndex s = 0; s < t.size(); ++s) hung += hangers.hangs(s) ? 1 : 0;
        }
    }
    REQUIRE(hung > 100);
}

TEST_CASE("when the root is lost the rest falls into the pieces that links still join", "[unit]") {
    NetworkBuilder b({});
    b.with_switch("s0", 0).with_switch("s1").with_switch("s2").with_switch("s3", 4096);
    b.with_link("s0", "s1").with_link("s0", "s2").with_link("s2", "s3");
    const Topology t(b.venue());
    const Tree tree = grow_tree(t, lowest_bridge(t));
    const Hangers none(t);
    Reconvergence paths(t, tree, none);
    const auto after = paths.after({.node = 0});
    CHECK(after.old_parent == kNone);
    REQUIRE(after.islands.size() == 2);
    CHECK(after.islands[0] == std::vector<SwitchIndex>{3, 2});  // its root has the lowest priority
    CHECK(after.islands[1] == std::vector<SwitchIndex>{1});
}

}  // namespace reconverge_test
