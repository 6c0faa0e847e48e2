// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_ways.hpp"

#include <algorithm>

namespace mastline {

std::size_t RoutedWays::tree_of(SwitchIndex source) const {
    const auto at = std::lower_bound(routed_.sources.begin(), routed_.sources.end(), source);
    return static_cast<std::size_t>(at - routed_.sources.begin());
}

const std::vector<Direction>& RoutedWays::reached_otherwise(std::size_t from, std::size_t to) {
    const auto [at, is_new] = otherwise_.try_emplace({from, to});
    if (!is_new) return at->second;
    for (const auto s : routed_.trees[to].order) {
        const auto& up = routed_.trees[to].uplink[s];
        const auto& other = routed_.trees[from].uplink[s];
        const auto& below = routed_.below[to][s];
        if (up.parent == kNone || below.empty()) continue;
        if (up.link != other.link || up.parent != other.parent || below != routed_.below[from][s])
            at->second.push_back({up.link, up.parent, s});
    }
    return at->second;
}

}  // namespace mastline
