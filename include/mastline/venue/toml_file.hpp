// SPDX-License-Identifier: Apache-2.0
// TOML text into a tree of values; the only place of the planner that sees the TOML library.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "mastline/findings/finding.hpp"
#include "mastline/text/tree.hpp"

namespace mastline {

// None and one finding when the text is not TOML. `file` is the name used in places.
std::optional<tree::Table> read_toml(std::string_view text, const std::string& file,
                                     Findings& findings);

}  // namespace mastline
