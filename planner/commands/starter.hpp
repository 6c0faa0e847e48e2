// SPDX-License-Identifier: Apache-2.0
// The files of the starter venue; they stand in planner/commands/starter and are built in as texts.
#pragma once

#include <array>
#include <string_view>

namespace mastline {

struct StarterFile {
    std::string_view name, text;
};

extern const std::array<StarterFile, 4> kStarterFiles;

}  // namespace mastline
