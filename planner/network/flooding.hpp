// SPDX-License-Identifier: Apache-2.0
// Switches that send groups to ports where nobody joined them.
#pragma once

#include <cstdint>
#include <map>
#include <utility>
#include <vector>

#include "planner/network/component.hpp"

namespace mastline {

// A set of carriages.
class CarriageSet {
public:
    explicit CarriageSet(std::size_t carriages = 0) : words_((carriages + 63) / 64) {}
    void set(CarriageIndex c) { words_[c / 64] |= std::uint64_t{1} << (c % 64); }
    void add(const CarriageSet& other) {
        for (std::size_t i = 0; i < words_.size(); ++i) words_[i] |= other.words_[i];
    }
    std::vector<CarriageIndex> list() const;
    BitRate rate(const std::vector<NetworkCarriage>& carriages, bool tagged) const;

private:
    std::vector<std::uint64_t> words_;
};

// `queried`: a querier or multicast router is left in its part of the network.
bool floods(const Switch& s, bool queried);

// At most what flows where switches flood all that reaches them: the worst mix, and behind a
// flooding switch everything that arrives there.
struct FloodLoads {
    std::map<std::pair<SwitchIndex, SwitchIndex>, CarriageSet> along;  // from, to
    std::map<SwitchIndex, CarriageSet> at;  // all that reaches a flooding switch
};

// Empty when no switch of the component floods.
FloodLoads flood_loads(const Site& site, const Component& component,
                       const std::vector<Uplink>& uplink, const Sides& sides);

}  // namespace mastline
