// SPDX-License-Identifier: Apache-2.0
// The cheapest choice of bins that holds everything, and what rules out the cheaper ones.
#pragma once

#include <utility>
#include <vector>

#include "planner/assignment/outline.hpp"
#include "planner/assignment/work_clock.hpp"

namespace mastline::packing {

// The model is one part (parts.hpp). Without homes where nothing was found: see Part::complete.
std::pair<Part, std::vector<Homes>> cheapest(const Model& model, const Outline& outline, const Effort& effort,
                                             WorkClock::time_point end);

}  // namespace mastline::packing
