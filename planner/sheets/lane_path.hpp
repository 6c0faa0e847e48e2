// SPDX-License-Identifier: Apache-2.0
// The ports that one lane passes on its way from the roof to one card input.
#pragma once

#include <vector>

#include "planner/sheets/plan_index.hpp"

namespace mastline {

struct LanePath {
    LaneRef lane;
    PortRef input;                         // where it ends
    std::vector<const PortLevel*> points;  // from the feed to the input; empty: it does not arrive
};

LanePath lane_path(const PlanIndex& index, const LaneRef& lane, const PortRef& input);

// Per lane of each feed, to the input where its margin is least; empty points for a lane that
// reaches none.
std::vector<LanePath> tightest_paths(const PlanIndex& index);

}  // namespace mastline
