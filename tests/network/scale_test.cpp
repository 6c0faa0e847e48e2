// SPDX-License-Identifier: Apache-2.0
// How the time for all single failures grows with the network. Processor time of this program, so
// that a busy machine does not decide.
#include <catch2/catch.hpp>
#include <cstdio>
#include <ctime>

#include "support/dice.hpp"
#include "support/network_builder.hpp"

using namespace mastline;
using test::NetworkBuilder;

namespace {

std::string name(std::uint32_t s) { return "s" + std::to_string(s); }

// A core, distribution and access switches, a tenth of the links in reserve; channels enter at
// eight switches near the root.
NetworkBuilder large_network(std::uint32_t switches, std::uint32_t channels) {
    test::Dice dice(1);
    std::vector<BitRate> rates;
    for (std::uint32_t c = 0; c < channels; ++c) rates.push_back(BitRate(2'000'000 + dice.below(10'000'000)));
    NetworkBuilder b(rates);
    const std::uint32_t core = switches / 30 + 2;
    for (std::uint32_t s = 0; s < switches; ++s) {
        b.with_switch(name(s), s == 0 ? 0 : 32768);
        if (s > 0) b.with_link(name(s < core ? s / 2 : dice.below(core)), name(s), 100);
        if (s >= core) b.with_zone(name(s), 20);
    }
    for (std::uint32_t i = 0; i < switches / 10; ++i)
        b.with_link(name(dice.below(core)), name(core + dice.below(switches - core)), 100);
    for (std::uint32_t i = 0; i < b.venue().links.size(); ++i) b.venue().links[i].name += "#" + std::to_string(i);
    b.querier("s0", 0x0A000001).querier("s1", 0x0A000002);
    for (std::uint32_t c = 0; c < channels / 25; ++c) b.with_card("card " + std::to_string(c), name(c % 8), 25);
    return b;
}

double seconds_for(std::uint32_t switches, std::uint32_t channels, Forwarding forwarding) {
    auto b = large_network(switches, channels);
    b.venue().network.forwarding = forwarding;
    const auto addressing = b.addressing();
    Findings findings;
    const std::clock_t begin = std::clock();
    const auto load = network_load(b.venue(), b.assignment(), addressing, findings);
    const double seconds = static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
    std::printf("%s: %u groups, %u switches, %zu links, all single failures: %.3f s\n",
                forwarding == Forwarding::routed ? "routed" : "spanning tree", channels, switches,
                b.venue().links.size(), seconds);
    CHECK(load.links.size() >= 2 * b.venue().links.size());
    CHECK_FALSE(load.cut_off.empty());
    return seconds;
}

}  // namespace

TEST_CASE("all failures of 1,000 switches take under 2 s, and ten times the size under 25 times that",
          "[property]") {
    const double one = seconds_for(1000, 2000, Forwarding::spanning_tree);
    CHECK(one < 2);
    const double ten = seconds_for(10000, 20000, Forwarding::spanning_tree);
    CHECK(ten < 25 * one);
}

TEST_CASE("all failures of a routed network of 1,000 switches and eight trees take under 10 s", "[property]") {
    CHECK(seconds_for(1000, 2000, Forwarding::routed) < 10);
}
