// SPDX-License-Identifier: Apache-2.0
// Findings as they stand on a terminal.
#pragma once

#include <cstddef>
#include <string>

#include "mastline/findings/finding.hpp"

namespace mastline {

// How the terminal is; plain and unbroken lines where the output is no terminal.
struct TerminalLook {
    bool colour = false;
    std::size_t columns = 0;  // lines are broken between words; 0: not at all
};

// One finding per line, the severity as a word; harmless on any terminal.
std::string findings_text(const Findings& findings, const TerminalLook& style);

// "1 error", "2 errors".
std::string counted(std::size_t n, const std::string& noun);

// "1 error, 2 warnings, 0 notes"
std::string counts_text(const Findings& findings);

// Of standard output; NO_COLOR in the environment is honoured.
TerminalLook terminal_style();

}  // namespace mastline
