// SPDX-License-Identifier: Apache-2.0
// Amplifiers against their greatest output.
#pragma once

#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "planner/signal/levels.hpp"

namespace mastline {

// How far the greatest output falls with n carriers, positive; none up to two.
Gain derating(Derating kind, int carriers);

// Total power of n carriers of one level.
Level total_power(Level one, int carriers);

std::vector<AmplifierLoad> amplifier_loads(const Chain& chain, const Levels& levels);

// An amplifier above its limit is an error.
void judge_overload(const Venue& venue, const std::vector<AmplifierLoad>& loads, Findings& findings);

}  // namespace mastline
