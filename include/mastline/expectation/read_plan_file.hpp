// SPDX-License-Identifier: Apache-2.0
// Expectations out of the text of a plan file.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "mastline/expectation/expectation.hpp"
#include "mastline/findings/finding.hpp"

namespace mastline {

// None when the text is no plan; every fault is in `findings`. `file` is the name used in places.
std::optional<ExpectedLineup> read_plan_file(std::string_view text, const std::string& file,
                                             Findings& findings);

}  // namespace mastline
