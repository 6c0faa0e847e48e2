// SPDX-License-Identifier: Apache-2.0
// The worst mix against every way in which the displays can choose.
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "mastline/venue/wire_rate.hpp"
#include "support/dice.hpp"
#include "support/network_builder.hpp"

using namespace mastline;
using test::NetworkBuilder;

namespace worst_mix_test {

namespace {

struct Case {
    NetworkBuilder network;
    std::vector<std::size_t> parent;                // of each switch; switch 0 is the root
    std::vector<std::size_t> display_at;            // switch of each display
    std::vector<std::size_t> source_at;             // switch of each channel
    std::vector<std::pair<std::size_t, std::size_t>> recorded;  // switch, channel
};

std::string name(std::size_t s) { return "s" + std::to_string(s); }

Case random_case(test::Dice& dice) {
    const std::size_t switches = 2 + dice.below(4), channels = 1 + dice.below(4);
    std::vector<BitRate> rates;
    for (std::size_t c = 0; c < channels; ++c) rates.push_back(megabits_per_second(1 + dice.below(5)));
    Case out{NetworkBuilder(rates), {0}, {}, {}, {}};
    out.network.with_switch("s0", 0);
    for (std::size_t s = 1; s < switches; ++s) {
        out.parent.push_back(dice.below(static_cast<std::uint32_t>(s)));
        out.network.with_switch(name(s)).with_link(name(out.parent[s]), name(s));
    }
    for (std::size_t c = 0; c < channels; ++c) {
        out.source_at.push_back(dice.below(static_cast<std::uint32_t>(switches)));
        out.network.with_card("card " + std::to_string(c), name(out.source_at[c]), 1);
    }
    for (std::size_t s = 0; s < switches; ++s) {
        const std::size_t room = 4 - std::min<std::size_t>(4, out.display_at.size());
        const std::size_t displays = dice.below(static_cast<std::uint32_t>(std::min<std::size_t>(room, 2) + 1));
        out.display_at.insert(out.display_at.end(), displays, s);
        std::vector<std::string> recorded;
        if (dice.one_in(4)) {
            const std::size_t c = dice.below(static_cast<std::uint32_t>(channels));
            recorded.push_back(std::to_string(101 + c));
            out.recorded.emplace_back(s, c);
        }
        out.network.with_zone(name(s), static_cast<int>(displays), {}, recorded);
    }
    // A querier that is no place for groups of its own: the first switch, for the whole network.
    out.network.querier("s0", 0x0A000001);
    return out;
}

// The links, as (from, to), along which a stream from `a` reaches `b`.
std::vector<std::pair<std::size_t, std::size_t>> path(const Case& c, std::size_t a, std::size_t b) {
    std::vector<std::size_t> up_a{a}, up_b{b};
    while (up_a.back() != 0) up_a.push_back(c.parent[up_a.back()]);
    while (up_b.back() != 0) up_b.push_back(c.parent[up_b.back()]);
    while (up_a.size() > 1 && up_b.size() > 1 && up_a[up_a.size() - 2] == up_b[up_b.size() - 2])
        up_a.pop_back(), up_b.pop_back();
    std::vector<std::pair<std::size_t, std::size_t>> out;
    for (std::size_t i = 1; i < up_a.size(); ++i) out.emplace_back(up_a[i - 1], up_a[i]);
    for (std::size_t i = up_b.size(); i-- > 1;) out.emplace_back(up_b[i], up_b[i - 1]);
    return out;
}

using Loads = std::map<std::pair<std::size_t, std::size_t>, std::int64_t>;

// The loads when display d watches channel choice[d].
Loads loads_of(const Case& c, const std::vector<BitRate>& wire, const std::vector<std::size_t>& choice) {
    std::map<std::pair<std::size_t, std::size_t>, std::set<std::size_t>> carried;
    const auto send = [&](std::size_t channel, std::size_t to) {
        for (const auto& hop : path(c, c.source_at[channel], to)) carried[hop].insert(channel);
    };
    for (std::size_t d = 0; d < choice.size(); ++d) send(choice[d], c.display_at[d]);
    for (const auto& [s, channel] : c.recorded) send(channel, s);
    for (std::size_t channel = 0; channel < c.source_at.size(); ++channel) send(channel, 0);  // querier
    Loads out;
    for (const auto& [hop, channels] : carried)
        for (const auto channel : channels) out[hop] += wire[channel].bits_per_second();
    return out;
}

Loads brute_force(Case& c) {
    std::vector<BitRate> wire;
    for (const auto& i : c.network.venue().inputs) wire.push_back(wire_rate(i.programme.rate, {}));
    Loads worst;
    std::vector<std::size_t> choice(c.display_at.size(), 0);
    for (;;) {
        for (const auto& [hop, rate] : loads_of(c, wire, choice))
            worst[hop] = std::max(worst[hop], rate);
        std::size_t d = 0;
        while (d < choice.size() && ++choice[d] == c.source_at.size()) choice[d++] = 0;
        if (d == choice.size()) return worst;
    }
}

}  // namespace

TEST_CASE("the worst mix equals the worst of all choices on 1,000 random networks", "[property]") {
    test::Dice dice(20);
    for (int round = 0; round < 1000; ++round) {
        Case c = random_case(dice);
        Loads worst = brute_force(c);
        for (const auto& link : c.network.load().links) {
            if (link.from[0] != 's' || link.to[0] != 's') continue;
            const std::pair hop{std::stoul(link.from.substr(1)), std::stoul(link.to.substr(1))};
            REQUIRE(link.worst_mix.bits_per_second() == worst[hop]);
        }
    }
}

}  // namespace worst_mix_test
