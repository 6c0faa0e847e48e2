// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "mastline/plan/plan.hpp"

namespace mastline {

// The plan's lists as one spreadsheet file (Office Open XML, ECMA-376): a worksheet per list with
// filters, a header row that stays in view, units in the headers and numbers as numbers. No cell is
// a formula. The same venue and plan give the same bytes. Throws std::runtime_error when the
// machine gives no memory or temporary file.
std::string write_workbook(const Venue& venue, const Plan& plan);

}  // namespace mastline
