// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "mastline/network/network_load.hpp"
#include "planner/network/routed_trees.hpp"

namespace mastline {

// Tables, joins, reports and queues of every switch of the spanning tree.
void add_switch_loads(const Site& site, const Component& component, const Sides& sides,
                      NetworkLoad& out);

// The same of every router: it hears the reports of its own displays alone, and holds the groups
// that its trees bring to it and over it. REQUIRES: the groups of the links in `out` are filled
void add_routed_switches(const Site& site, const RoutedTrees& routed, NetworkLoad& out);

// Limits that switches state and the plan exceeds.
void report_switches(const Site& site, const NetworkLoad& load, Findings& findings);

}  // namespace mastline
