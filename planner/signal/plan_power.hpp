// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// Loads draw constant current, or constant power where the data say so, also below their minimum
// voltage. Findings: two supplies on one conductor, parts without supply, too little voltage, too much
// load, less than a tenth in reserve.
std::vector<PowerSupply> plan_power(const Venue& venue, const std::vector<InputReach>& reach,
                                    Findings& findings);

}  // namespace mastline
