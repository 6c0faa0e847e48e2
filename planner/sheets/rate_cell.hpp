// SPDX-License-Identifier: Apache-2.0
// Rates as tables and pictures write them: Mbit/s without the unit, which the header states.
#pragma once

#include "planner/sheets/sheet_table.hpp"

#include "mastline/units/bit_rate.hpp"
#include "mastline/units/unit_text.hpp"

namespace mastline {

inline double megabits(BitRate rate) { return static_cast<double>(rate.bits_per_second()) / 1e6; }

inline Cell rate_cell(BitRate rate, int digits = 1) { return number_cell(megabits(rate), digits); }

}  // namespace mastline
