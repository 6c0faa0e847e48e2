// SPDX-License-Identifier: Apache-2.0
// Time for the loads of a network with all its single failures, along the spanning tree, where one switch of twenty
// floods, where other cards take over besides, where every switch floods, and routed, and how it grows with the network.
// One line per figure, tab-separated: name, value, unit, goal.
#include <algorithm>
#include <functional>
#include <memory>

#include "bench.hpp"
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

using Change = std::function<void(Venue&)>;

void keep(Venue&) {}
void route(Venue& venue) { venue.network.forwarding = Forwarding::routed; }
void flood(Venue& venue) {
    for (std::size_t s = 3; s < venue.switches.size(); s += 20) venue.switches[s].snooping = false;
}

void flood_and_take_over(Venue& venue) {
    flood(venue);
    for (std::size_t c = 0; c < venue.channels.size(); c += 2) venue.channels[c].is_protected = true;
}
void flood_everywhere(Venue& venue) {
    for (auto& s : venue.switches) s.snooping = false;
}

// Reckons the loads of one network each time that it is called.
std::function<void()> reckoning(std::uint32_t switches, std::uint32_t channels, const Change& change) {
    const auto b = std::make_shared<NetworkBuilder>(large_network(switches, channels));
    change(b->venue());
    return [b, addressing = b->addressing()] {
        Findings findings;
        const auto load = network_load(b->venue(), b->assignment(), addressing, findings);
        if (load.cut_off.empty()) throw std::logic_error("no failure was reckoned");
    };
}

bool measure(const std::string& way, const Change& change) {
    const auto small = reckoning(1000, 2000, change), large = reckoning(10000, 20000, change);
    // Both sizes in each round; the small one again at once, since the large one leaves the caches
    // full of its own.
    const auto seconds = bench::seconds_of({large, small, small, small}, 7);
    const double one = *std::min_element(seconds.begin() + 1, seconds.end()), ten = seconds[0];
    const std::string figure = "network.scale." + way;
    // 2,000 groups, 1,000 switches, 1,100 links, all single failures; then ten times of each.
    bool good = bench::at_most((figure + ".s").c_str(), one, "s", 2);
    bench::part((figure + ".ten_times.s").c_str(), ten, "s");
    return bench::at_most((figure + ".growth").c_str(), ten / one, "times", 25) && good;
}

}  // namespace

int main() {
    const bool tree = measure("tree", keep);
    const bool flooding = measure("flooding", flood);
    const bool take_over = measure("take_over", flood_and_take_over);
    const bool everywhere = measure("flooding_everywhere", flood_everywhere);
    const bool routed = measure("routed", route);
    return tree && flooding && take_over && everywhere && routed ? 0 : 1;
}
