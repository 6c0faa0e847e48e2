// SPDX-License-Identifier: Apache-2.0
// The signal path as boxes and lines: feeds, devices and card inputs, one line per conductor.
#pragma once

#include "planner/sheets/box_chart.hpp"
#include "planner/sheets/plan_index.hpp"

namespace mastline {

BoxChart chain_chart(const PlanIndex& index);

}  // namespace mastline
