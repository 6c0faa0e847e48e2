// SPDX-License-Identifier: Apache-2.0
// Where streams of a routed network come another way when another switch sends them.
#pragma once

#include <map>
#include <vector>

#include "planner/network/routed_trees.hpp"

namespace mastline {

class RoutedWays {
public:
    // `routed` must outlive it.
    explicit RoutedWays(const RoutedTrees& routed) : routed_(routed) {}

    std::size_t tree_of(SwitchIndex source) const;
    // Directions over which the tree `to` reaches other displays or joins than the tree `from`, nothing failed.
    const std::vector<Direction>& reached_otherwise(std::size_t from, std::size_t to);

private:
    const RoutedTrees& routed_;
    std::map<std::pair<std::size_t, std::size_t>, std::vector<Direction>> otherwise_;
};

}  // namespace mastline
