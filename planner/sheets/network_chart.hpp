// SPDX-License-Identifier: Apache-2.0
// The network as boxes and lines: senders, switches, zones, each link with its load.
#pragma once

#include "planner/sheets/box_chart.hpp"
#include "planner/sheets/plan_index.hpp"

namespace mastline {

BoxChart network_chart(const PlanIndex& index);

// Over what may be planned (in the worst mix), over it only in the worst failure, or within.
Fit fit_of(const LinkLoad& load);
// Only what switches flood is more than its limit, with nothing failed.
bool is_over_by_flooding(const LinkLoad& load);
// "over by flooding"
std::string verdict_of(const LinkLoad& load);
// "core-1 to access-3"; with the link's name where others join the same two switches.
std::string direction_name(const PlanIndex& index, const LinkLoad& load, std::string_view to = " to ");
// Share of the capacity that the worst mix takes.
double share_of(BitRate rate, BitRate capacity);

}  // namespace mastline
