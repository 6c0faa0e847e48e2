// SPDX-License-Identifier: Apache-2.0
// The loads of a network whose streams follow the spanning tree, nothing failed.
#pragma once

#include "mastline/network/network_load.hpp"
#include "planner/network/site.hpp"
#include "planner/network/tree.hpp"

namespace mastline {

// Fills links, switches, tree_root and querier of `out`.
void add_spanning_loads(const Site& site, const Tree& tree, const Addressing& addressing,
                        NetworkLoad& out);

}  // namespace mastline
