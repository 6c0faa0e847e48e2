// SPDX-License-Identifier: Apache-2.0
#include "mastline/expectation/read_plan_file.hpp"

#include "mastline/expectation/read_plan.hpp"
#include "mastline/text/toml_tree.hpp"

namespace mastline {

std::optional<ExpectedLineup> read_plan_file(std::string_view text, const std::string& file,
                                             Findings& findings) {
    const auto root = parse_toml(text, file, findings);
    if (!root) return std::nullopt;
    return read_plan(*root, findings);
}

}  // namespace mastline
