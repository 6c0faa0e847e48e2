// SPDX-License-Identifier: Apache-2.0
// A verification as JUnit XML: one test case per channel, for the systems that collect test results.
#pragma once

#include <string>

#include "mastline/report/lineup_report.hpp"

namespace mastline {

std::string junit_text(const LineupReport& report);

}  // namespace mastline
