// SPDX-License-Identifier: Apache-2.0
// A verification as one self-contained HTML page, for screen and paper.
#pragma once

#include <string>

#include "mastline/report/lineup_report.hpp"

namespace mastline {

std::string lineup_page(const LineupReport& report);

}  // namespace mastline
