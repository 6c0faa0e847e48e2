// SPDX-License-Identifier: Apache-2.0
// What `check --json` writes; check.schema.json beside this describes it.
#pragma once

#include <optional>
#include <string>

#include "mastline/findings/finding.hpp"
#include "planner/commands/summary.hpp"

namespace mastline {

// `plan` is none when the files could not be used. Ends in a newline.
std::string check_json(const std::string& venue, const Findings& findings,
                       const std::optional<PlanSummary>& plan);

}  // namespace mastline
