// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/kept_file.hpp"

#include "mastline/missing_input.hpp"
#include "mastline/venue/toml_file.hpp"
#include "planner/commands/input_file.hpp"

namespace mastline {

std::optional<KeptPlan> kept_file(const std::string& path, Findings& findings) {
    const auto text = read_file(path);
    if (!text) miss_input("plan", path, kBuildWritesPlans);
    const auto root = read_toml(*text, path, findings);
    return root ? read_kept_plan(*root, findings) : std::nullopt;
}

}  // namespace mastline
