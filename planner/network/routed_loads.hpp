// SPDX-License-Identifier: Apache-2.0
// The loads of a routed network, whole and after every single failure of a link or switch.
#pragma once

#include "mastline/network/network_load.hpp"
#include "planner/network/site.hpp"

namespace mastline {

void add_routed_loads(const Site& site, const Addressing& addressing, NetworkLoad& out, Findings& findings);

}  // namespace mastline
