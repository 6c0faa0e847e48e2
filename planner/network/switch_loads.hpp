// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "mastline/network/network_load.hpp"
#include "planner/network/component.hpp"

namespace mastline {

// Tables, joins, reports and queues of every switch of the spanning tree.
void add_switch_loads(const Site& site, const Component& component, const Sides& sides,
                      NetworkLoad& out);

// Limits that switches state and the plan exceeds.
void report_switches(const Site& site, const NetworkLoad& load, Findings& findings);

}  // namespace mastline
