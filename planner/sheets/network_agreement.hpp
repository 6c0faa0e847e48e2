// SPDX-License-Identifier: Apache-2.0
// What the network's owner and the engineer agree on, on one page: addresses, rates, VLAN, DSCP,
// membership protocol and timers, the querier's place, link loads, limits.
#pragma once

#include <string>

#include "planner/sheets/plan_index.hpp"

namespace mastline {

// HTML; empty without a network.
std::string network_agreement(const PlanIndex& index);

}  // namespace mastline
