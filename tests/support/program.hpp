// SPDX-License-Identifier: Apache-2.0
// Running the programs of this build.
#pragma once

#include <string>

#include "support/paths.hpp"
#include "support/run_command.hpp"

namespace mastline::test {

// Standard output and standard error together.
inline CommandResult planner(const std::string& arguments) {
    return run_command(MASTLINE_BINARY_DIR "/planner/mastline-planner " + arguments + " 2>&1");
}

}  // namespace mastline::test
