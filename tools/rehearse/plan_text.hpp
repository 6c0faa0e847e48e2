// SPDX-License-Identifier: Apache-2.0
// The lineup of a plan file, checked for what a rehearsal needs.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "mastline/expectation/expectation.hpp"
#include "mastline/findings/finding.hpp"

namespace mastline {

// None when the text is no plan or a flow of it cannot be sent; `findings` say why.
std::optional<ExpectedLineup> lineup_from_text(std::string_view text, const std::string& file,
                                               Findings& findings);

}  // namespace mastline
