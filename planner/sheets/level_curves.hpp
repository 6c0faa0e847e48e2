// SPDX-License-Identifier: Apache-2.0
// Level against frequency, one small chart per lane: where it enters, and where its margin is least of
// the ports behind which it keeps its frequencies.
#pragma once

#include <string>
#include <vector>

#include "planner/sheets/lane_path.hpp"

namespace mastline {

// One <figure> for each path that has points.
std::string level_curves(const std::vector<LanePath>& paths);

}  // namespace mastline
