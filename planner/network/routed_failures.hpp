// SPDX-License-Identifier: Apache-2.0
// Every single failure of link and switch in a routed network. Of each tree only what the failure
// moves is reckoned again, and of the links only those that something moved onto.
#pragma once

#include "mastline/network/network_load.hpp"
#include "planner/network/routed_trees.hpp"

namespace mastline {

// Raises worst_failure of the links in `out`; fills its cut_off and source_losses. REQUIRES:
// worst_mix is filled.
void add_routed_failures(const Site& site, const RoutedTrees& routed, NetworkLoad& out);

}  // namespace mastline
