// SPDX-License-Identifier: Apache-2.0
// Files of an earlier build that this one does not write again.
#pragma once

#include <filesystem>
#include <vector>

#include "planner/commands/output_files.hpp"

namespace mastline {

// The SDP files below `folder` that its plan.toml of before stands for and `files` does not hold: an
// SDP of a channel that is no more would send displays to a group that is silent. Other files are
// nobody's business.
std::vector<std::filesystem::path> stale_files(const std::filesystem::path& folder,
                                               const std::vector<OutputFile>& files);

}  // namespace mastline
