// SPDX-License-Identifier: Apache-2.0
// Where results go, and what the terminal at hand can show.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "mastline/exit_status.hpp"
#include "mastline/expectation/expectation.hpp"
#include "mastline/report/terminal.hpp"

namespace mastline {

// "-" is standard output; a file is written beside and renamed. Throws std::system_error.
void write_output(const std::string& path, std::string_view text);

// Before a long watch: whether write_output(path) will have a folder to write into. "-" and "" always
// have. Throws std::system_error.
void need_writable(const std::string& path);

// The style for standard output (or standard error).
TerminalStyle terminal_style(int descriptor);

// The whole file. Throws std::system_error.
std::string read_file(const std::string& path);

// The plan file, or the one in the folder that it was built into. Every fault of it goes to standard error;
// none when there are any. Throws UsageError when it is not there.
std::optional<ExpectedLineup> open_plan(const std::string& given);

}  // namespace mastline
