// SPDX-License-Identifier: Apache-2.0
// What the probe is to find, out of the results of all rules.
#pragma once

#include <vector>

#include "mastline/plan/plan.hpp"

namespace mastline {

// One per carriage that has an address, in channel order. Reads the plan's signal, assignment and
// addressing.
std::vector<Expectation> expected_flows(const Venue& venue, const Plan& plan);

}  // namespace mastline
