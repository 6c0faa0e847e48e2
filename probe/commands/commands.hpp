// SPDX-License-Identifier: Apache-2.0
// The commands of mastline-probe: each adds itself to the command line and runs as its callback.
#pragma once

#include <CLI/CLI.hpp>

#include "mastline/exit_status.hpp"

namespace mastline {

void add_read_command(CLI::App& app, ExitStatus& status);
void add_verify_command(CLI::App& app, ExitStatus& status);
void add_compare_command(CLI::App& app, ExitStatus& status);
void add_survey_command(CLI::App& app, ExitStatus& status);
void add_watch_command(CLI::App& app, ExitStatus& status);

}  // namespace mastline
