// SPDX-License-Identifier: Apache-2.0
// The plan file: what probe and rehearsal read (expectation/plan_keys.hpp), then everything else the
// planner knows, under `planner`.
#pragma once

#include <string>

#include "mastline/plan/plan.hpp"

namespace mastline {

// The same venue and plan give the same bytes.
std::string write_plan(const Venue& venue, const Plan& plan);

// 16 hexadecimal digits over all of the plan's content but the revision itself.
std::string revision_of(const Venue& venue, const Plan& plan);

}  // namespace mastline
