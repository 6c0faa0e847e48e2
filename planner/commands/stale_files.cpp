// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/stale_files.hpp"

#include <algorithm>

#include "mastline/expectation/read_plan.hpp"
#include "mastline/venue/toml_file.hpp"
#include "planner/commands/input_file.hpp"
#include "planner/commands/plan_files.hpp"
#include "planner/venue/file_name.hpp"

namespace mastline {

std::vector<std::filesystem::path> stale_files(const std::filesystem::path& folder,
                                               const std::vector<OutputFile>& files) {
    std::vector<std::filesystem::path> out;
    const auto text = read_file(folder / "plan.toml");
    Findings ignored;  // a plan that cannot be read stands for no files
    const auto root = text ? read_toml(*text, "plan.toml", ignored) : std::nullopt;
    const auto before = root ? read_plan(*root, ignored) : std::nullopt;
    if (!before) return out;
    for (const auto& flow : before->flows) {
        const auto name = sdp_name(flow);
        if (name.find('/') != std::string::npos || !name_in_folder(name)) continue;
        const auto path = folder / "sdp" / name;
        const bool written = std::any_of(files.begin(), files.end(),
                                         [&](const OutputFile& file) { return file.path == path; });
        if (!written && read_file(path)) out.push_back(path);
    }
    return out;
}

}  // namespace mastline
