// SPDX-License-Identifier: Apache-2.0
// Channels that find no card: why, by how much, and what would cure it.
#pragma once

#include "planner/assignment/lineup_model.hpp"

namespace mastline {

void explain_shortfall(const Venue& venue, const SignalPlan& signal, const LineupModel& lineup,
                       const packing::Solution& solution, const packing::Part& part, Findings& findings);

}  // namespace mastline
