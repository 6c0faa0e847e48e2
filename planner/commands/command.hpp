// SPDX-License-Identifier: Apache-2.0
// The commands of mastline-planner. Each adds its flags to the command line and, where it is
// called, sets `chosen` to what is to be done.
#pragma once

#include <functional>

#include <CLI/CLI.hpp>

#include "mastline/exit_status.hpp"

namespace mastline {

using Command = std::function<ExitStatus()>;

void add_check(CLI::App& app, Command& chosen);
void add_build(CLI::App& app, Command& chosen);
void add_compare(CLI::App& app, Command& chosen);
void add_explain(CLI::App& app, Command& chosen);
void add_readings(CLI::App& app, Command& chosen);
void add_import(CLI::App& app, Command& chosen);
void add_new(CLI::App& app, Command& chosen);
void add_reference(CLI::App& app, Command& chosen);

}  // namespace mastline
