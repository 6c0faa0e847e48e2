// SPDX-License-Identifier: Apache-2.0
// The document set of a plan: what the engineer hands over. Pure functions from data to text; the
// same venue and plan give the same bytes.
#pragma once

#include <string>

#include "mastline/plan/plan.hpp"

namespace mastline {

// One self-contained HTML document of numbered sheets, for the screen and for A3 or A4 paper.
std::string write_sheets(const Venue& venue, const Plan& plan);

// RFC 4180, one header row with units, numbers as numbers, CRLF line ends.
std::string channels_csv(const Venue& venue, const Plan& plan);  // one row per channel and carriage
std::string wiring_csv(const Venue& venue, const Plan& plan);    // one row per cable

}  // namespace mastline
