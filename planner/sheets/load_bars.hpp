// SPDX-License-Identifier: Apache-2.0
// Links by load, fullest first, as bars against their limits.
#pragma once

#include <string>

#include "planner/sheets/plan_index.hpp"

namespace mastline {

// A <figure>; the 40 fullest link directions at most. Empty without loads.
std::string load_bars(const PlanIndex& index);

}  // namespace mastline
