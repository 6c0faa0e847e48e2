// SPDX-License-Identifier: Apache-2.0
// Front view of each chassis: slots from the top, with the use of licences and tuners as bars.
#pragma once

#include <string>

#include "planner/sheets/plan_index.hpp"

namespace mastline {

// One <figure> per chassis, then one for cards that stand alone; empty without cards.
std::string rack_drawing(const PlanIndex& index);

}  // namespace mastline
