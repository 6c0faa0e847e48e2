// SPDX-License-Identifier: Apache-2.0
// What flooding brings, against sets of streams passed from switch to switch.
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "planner/network/carriage_table.hpp"
#include "support/dice.hpp"
#include "support/network_builder.hpp"

using namespace mastline;
using test::NetworkBuilder;

namespace flooding_test {

namespace {

std::string name(std::size_t s) { return "s" + std::to_string(s); }

NetworkBuilder flooding_network(test::Dice& dice) {
    std::vector<BitRate> rates;
    for (int c = 0; c < 8; ++c) rates.push_back(megabits_per_second(1 + dice.below(9)));
    NetworkBuilder b(rates);
    const std::uint32_t switches = 3 + dice.below(8);
    for (std::uint32_t s = 0; s < switches; ++s) {
        b.with_switch(name(s), s == 0 ? 0 : 32768);
        if (s > 0) b.with_link(name(dice.below(s)), name(s));
    }
    for (std::uint32_t c = 0; c < 4; ++c) b.with_card("card " + std::to_string(c), name(dice.below(switches)), 2);
    for (std::uint32_t s = 0; s < switches; ++s) {
        std::vector<std::string> recorded;
        if (dice.one_in(4)) recorded.push_back(std::to_string(101 + dice.below(8)));
        b.with_zone(name(s), static_cast<int>(dice.below(3)), {}, recorded);
        b.at(name(s)).multicast_router = dice.one_in(10);
        b.at(name(s)).snooping = !dice.one_in(3);
        b.at(name(s)).floods_unregistered = dice.one_in(6);
    }
    b.querier("s0", 0x0A000001);
    return b;
}

using Ends = std::pair<std::string, std::string>;
using Streams = std::set<std::size_t>;

// Each direction carries its worst mix; out of a switch that floods, all that enters there or comes in from
// its other neighbours besides. Passed on until nothing changes.
std::map<Ends, Streams> passed_on(const Venue& venue, const NetworkLoad& load, const std::vector<NetworkCarriage>& carriages) {
    std::map<Ends, Streams> out;
    for (std::size_t i = 0; i < 2 * venue.links.size(); ++i)
        out[{load.links[i].from, load.links[i].to}] = {load.links[i].groups.begin(), load.links[i].groups.end()};
    for (bool grown = true; grown;) {
        grown = false;
        for (auto& [ends, streams] : out) {
            const auto at = std::ranges::find(venue.switches, ends.first, &Switch::name);
            if (at->snooping && !at->floods_unregistered) continue;
            const auto before = streams.size();
            for (std::size_t c = 0; c < carriages.size(); ++c)
                if (carriages[c].enters == static_cast<SwitchIndex>(at - venue.switches.begin())) streams.insert(c);
            for (const auto& [other, coming] : out)
                if (other.second == ends.first && other.first != ends.second) streams.insert(coming.begin(), coming.end());
            grown = grown || streams.size() > before;
        }
    }
    return out;
}

}  // namespace

TEST_CASE("flooded loads equal the union of what is passed on, on 1,000 networks", "[property]") {
    test::Dice dice(21);
    int more = 0;
    for (int round = 0; round < 1000; ++round) {
        auto b = flooding_network(dice);
        const auto addressing = b.addressing();
        const auto carriages = network_carriages(b.venue(), b.assignment(), addressing);
        const auto load = b.load();
        const auto expected = passed_on(b.venue(), load, carriages);
        for (std::size_t i = 0; i < 2 * b.venue().links.size(); ++i) {
            const auto& l = load.links[i];
            BitRate sum;
            for (const auto c : expected.at({l.from, l.to})) sum += carriages[c].plain;
            INFO("round " << round << " " << l.from << " to " << l.to);
            REQUIRE(l.flooded == sum);
            if (l.flooded > l.worst_mix) ++more;
        }
    }
    CHECK(more > 1000);
}

}  // namespace flooding_test
