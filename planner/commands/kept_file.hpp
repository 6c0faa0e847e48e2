// SPDX-License-Identifier: Apache-2.0
// An earlier plan from the disk.
#pragma once

#include <optional>
#include <string>

#include "mastline/expectation/expectation.hpp"
#include "mastline/findings/finding.hpp"
#include "mastline/plan/kept_plan.hpp"

namespace mastline {

// None when the file is no plan of ours, with what is wrong in `findings`. Throws UsageError when it
// is not there, system_error when the machine refuses.
std::optional<KeptPlan> kept_file(const std::string& path, Findings& findings);

}  // namespace mastline
