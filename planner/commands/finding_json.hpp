// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <nlohmann/json.hpp>

#include "mastline/findings/finding.hpp"

namespace mastline {

// A finding as it stands in every JSON document of the planner; what is empty is left out.
nlohmann::ordered_json finding_json(const Finding& finding);

}  // namespace mastline
