// SPDX-License-Identifier: Apache-2.0
// Switches that send groups to ports where nobody joined them.
#pragma once

#include <map>
#include <utility>
#include <vector>

#include "planner/network/carriage_set.hpp"
#include "planner/network/component.hpp"

namespace mastline {

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
