// SPDX-License-Identifier: Apache-2.0
// A card or chassis of a routed network fails: what is protected comes along another tree.
#pragma once

#include "planner/network/failure_record.hpp"
#include "planner/network/routed_trees.hpp"

namespace mastline {

// Raises worst_failure of directions where the tree of the switch that takes over reaches other
// displays than the tree of the one that failed; everywhere else no more flows than before.
void add_routed_card_failures(const Site& site, const RoutedTrees& routed, FailureRecord& record);

}  // namespace mastline
