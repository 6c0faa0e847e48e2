// SPDX-License-Identifier: Apache-2.0
// Which channels of which carrier or house input are received on which card: lanes and carriers on
// the left, cards on the right.
#pragma once

#include <string>

#include "planner/sheets/box_chart.hpp"
#include "planner/sheets/plan_index.hpp"

namespace mastline {

BoxChart lineup_chart(const PlanIndex& index);

// With its heading; empty where no channel has a home.
std::string lineup_drawing(const PlanIndex& index);

}  // namespace mastline
