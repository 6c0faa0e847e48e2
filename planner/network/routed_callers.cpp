// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_callers.hpp"

namespace mastline {

std::vector<RoutedCaller> callers_along(const RoutedTrees& routed, const Direction& d) {
    std::vector<RoutedCaller> out;
    for (std::size_t t = 0; t < routed.trees.size(); ++t) {
        const auto& up = routed.trees[t].uplink[d.to];
        const auto& below = routed.below[t][d.to];
        if (up.link == d.link && up.parent == d.from && !below.empty())
            out.push_back({t, &routed.brings[t], routed.ladders[t].get(), &below.always});
    }
    return out;
}

std::vector<RoutedCaller> callers_through(const RoutedTrees& routed, SwitchIndex s) {
    std::vector<RoutedCaller> out;
    for (std::size_t t = 0; t < routed.trees.size(); ++t)
        if (routed.trees[t].uplink[s].distance != kUnreached && !routed.below[t][s].empty())
            out.push_back({t, &routed.brings[t], routed.ladders[t].get(), &routed.below[t][s].always});
    return out;
}

}  // namespace mastline
