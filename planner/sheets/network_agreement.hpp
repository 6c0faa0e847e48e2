// SPDX-License-Identifier: Apache-2.0
// What the network's owner and the engineer agree on, on one page: addresses, rates, VLAN, DSCP,
// membership protocol and timers, the querier's place, link loads, limits.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "planner/sheets/plan_index.hpp"

namespace mastline {

// "IGMP version 3", or "MLD version 2" where the groups are of IPv6 (RFC 3810 section 1: MLDv2 is
// IGMPv3's counterpart, MLDv1 IGMPv2's).
std::string membership_protocol(const PlanIndex& index);

// Where streams are routed each switch is a router and asks its own displays (RFC 3376 section 1).
inline constexpr std::string_view kRoutedQueriers = "each router, for the displays at it";
// Switches that may query, in the order of their election.
std::vector<const Switch*> queriers_by_turn(const PlanIndex& index);

// HTML; empty without a network.
std::string network_agreement(const PlanIndex& index);

}  // namespace mastline
