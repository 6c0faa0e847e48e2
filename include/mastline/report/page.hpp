// SPDX-License-Identifier: Apache-2.0
// A verification as one self-contained HTML page, for screen and paper.
#pragma once

#include <string>

#include "mastline/report/lineup_report.hpp"

namespace mastline {

// `evidence_link`: the folder of evidence, seen from the page.
std::string lineup_page(const LineupReport& report, const std::string& evidence_link = {});

// The index page of a folder of evidence: for every failed verdict what to look at, and in which file.
std::string evidence_page(const LineupReport& report);

}  // namespace mastline
