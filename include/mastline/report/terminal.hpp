// SPDX-License-Identifier: Apache-2.0
// Reports for a terminal: text that fits its width and says nothing by colour alone.
#pragma once

#include <string>
#include <vector>

#include "mastline/report/file_report.hpp"
#include "mastline/report/lineup_report.hpp"

namespace mastline {

struct TerminalStyle {
    std::size_t width = 80;
    bool colour = false;
    bool utf8 = true;  // otherwise everything outside ASCII becomes '?'
};

std::string terminal_lineup(const LineupReport& report, const TerminalStyle& style);
std::string terminal_file(const FileReport& report, const TerminalStyle& style);

}  // namespace mastline
