// SPDX-License-Identifier: Apache-2.0
// The trees of a routed network: one from each switch at which streams enter, along the shortest
// paths; equal paths go by the lowest identifier, as the spanning tree's do.
#pragma once

#include <map>
#include <vector>

#include "planner/network/component.hpp"

namespace mastline {

struct RoutedTrees {
    std::vector<SwitchIndex> sources;  // switches at which carriages enter
    std::vector<Tree> trees;           // one each
};

// One direction of one link, and for each tree that uses it the switches with displays below.
struct RoutedUse {
    std::vector<std::size_t> trees;
    std::vector<std::vector<SwitchIndex>> displays;  // by position in `trees`, sorted
    std::vector<JoinCounts> always;                  // likewise
};

using RoutedUses = std::map<std::pair<LinkIndex, SwitchIndex>, RoutedUse>;  // link, from

RoutedTrees routed_trees(const Site& site);
RoutedUses routed_uses(const Site& site, const RoutedTrees& routed);

// The carriages that flow at worst: each display brings one of the heaviest that it can get here.
std::vector<CarriageIndex> routed_worst_mix(const Site& site, const RoutedTrees& routed,
                                            const RoutedUse& use);

}  // namespace mastline
