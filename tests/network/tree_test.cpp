// SPDX-License-Identifier: Apache-2.0
#include "planner/network/tree.hpp"

#include <catch2/catch.hpp>

#include "support/network_builder.hpp"

using namespace mastline;
using test::NetworkBuilder;

namespace {

// Name of the link at a switch's root port; empty at the root.
std::string root_port(NetworkBuilder& b, const std::string& name) {
    const Topology t(b.venue());
    const Tree tree = grow_tree(t, lowest_bridge(t));
    for (SwitchIndex s = 0; s < b.venue().switches.size(); ++s)
        if (b.venue().switches[s].name == name)
            return tree.uplink[s].link == kNone ? "" : b.venue().links[tree.uplink[s].link].name;
    return "?";
}

}  // namespace

TEST_CASE("path costs follow the speed", "[outside]") {
    // IEEE 802.1D-2004 table 17-3, recommended values.
    const auto cost = [](double megabits, int members = 1) {
        return path_cost({.speed = megabits_per_second(megabits)}, members);
    };
    CHECK(cost(10) == 2'000'000);
    CHECK(cost(100) == 200'000);
    CHECK(cost(1000) == 20'000);
    CHECK(cost(10'000) == 2'000);
    CHECK(cost(100'000) == 200);
    CHECK(cost(1000, 2) == 10'000);  // a bundle counts with its whole speed
    CHECK(path_cost({.speed = megabits_per_second(10), .cost = 7}, 1) == 7);
}

TEST_CASE("the root is the lowest priority, then the lowest address, then the first name", "[unit]") {
    NetworkBuilder b({});
    b.with_switch("b").with_switch("a").with_switch("c").with_link("a", "b").with_link("b", "c");
    CHECK(root_port(b, "a").empty());
    b.at("c").mac = *parse_mac_address("02:00:00:00:00:02");
    CHECK(root_port(b, "c").empty());
    b.at("b").mac = *parse_mac_address("02:00:00:00:00:01");
    CHECK(root_port(b, "b").empty());
    b.at("a").priority = 4096;
    CHECK(root_port(b, "a").empty());
}

TEST_CASE("a switch takes the cheapest way to the root, then the lowest neighbour", "[unit]") {
    NetworkBuilder b({});
    b.with_switch("root", 0).with_switch("left", 8192).with_switch("right", 4096).with_switch("leaf");
    b.with_link("root", "left").with_link("root", "right").with_link("leaf", "left").with_link("leaf", "right");
    CHECK(root_port(b, "leaf") == "leaf/right");
    b.link("leaf/left").speed = megabits_per_second(10'000);
    CHECK(root_port(b, "leaf") == "leaf/left");
    // Two links to the same neighbour: the lower port, for which the name stands.
    b.link("leaf/left").speed = megabits_per_second(1000);
    b.with_link("leaf", "right");
    b.venue().links.back().name = "a second one";
    CHECK(root_port(b, "leaf") == "a second one");
}
