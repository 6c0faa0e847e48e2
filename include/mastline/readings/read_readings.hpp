// SPDX-License-Identifier: Apache-2.0
// A sheet of meter readings as a spreadsheet saves it, checked against the venue.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/readings/reading.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "mastline/text/table_doc.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// The columns, as a table of keys.
const TableDoc& readings_doc();

// Rows without a level are blanks that nobody filled in, and are left out. Errors: unknown columns
// and test points, lanes that the port has not or that nothing comes to, frequencies outside every
// signal there, levels without a unit of level. Warnings: readings of one point that differ by more
// than 3 dB, a sheet whose expected levels are no longer the plan's.
std::vector<Reading> read_readings(std::string_view text, const std::string& file,
                                   const Venue& venue, const SignalPlan& plan, Findings& findings);

}  // namespace mastline
