// SPDX-License-Identifier: Apache-2.0
// Files in, what they hold out.
#pragma once

#include <optional>
#include <string>

#include "mastline/report/file_report.hpp"
#include "mastline/report/lineup_report.hpp"

namespace mastline {

struct ReadFile {
    FileReport report;
    std::optional<LineupReport> lineup;  // a capture, compared with the plan
};

// What is made of a capture besides its verdicts.
struct LineupWishes {
    std::string evidence;  // folder for captures of the failed verdicts; empty: none
    bool stills = false;
};

// None when the file is neither a capture nor a transport stream. Throws std::system_error. `threads` look
// at the flows of a capture side by side.
std::optional<ReadFile> read_any_file(const std::string& path, const ExpectedLineup* plan,
                                      const LineupWishes& wishes = {}, unsigned threads = 1);

}  // namespace mastline
