// SPDX-License-Identifier: Apache-2.0
// A running watch as plain lines, where no terminal is: for the journal, a file, a pipe. Pure.
#pragma once

#include <string>
#include <vector>

#include "mastline/report/terminal.hpp"
#include "mastline/watch/lineup_state.hpp"

namespace mastline {

struct LineStyle {
    bool journal = false;  // a priority in front, "<4>" (sd-daemon(3)), and no time: the journal has its own
    bool utf8 = true;
};

// Says what begins.
std::string opening_line(const LineupState& state, const LineStyle& style);
// One line per event, and one for the cause where several channels fail together.
std::string event_lines(const LineupState& state, const std::vector<WatchEvent>& events, const LineStyle& style);
// How all stands; written now and then, so that silence means that the program is gone.
std::string standing_line(const LineupState& state, const LineStyle& style);
std::string closing_line(const LineupState& state, const LineStyle& style);

}  // namespace mastline
