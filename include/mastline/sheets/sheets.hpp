// SPDX-License-Identifier: Apache-2.0
// The document set of a plan: what the engineer hands over. Pure functions from data to text; the
// same venue and plan give the same bytes.
#pragma once

#include <string>
#include <vector>

#include "mastline/plan/plan.hpp"

namespace mastline {

struct SheetFile {
    std::string name;  // "04a-cable-labels.html"
    std::string html;
};

struct DocumentSet {
    std::string whole;              // all sheets in one document
    std::vector<SheetFile> sheets;  // each on its own, linked by file name
};

// Self-contained HTML documents of numbered sheets, for the screen and for A3 or A4 paper.
DocumentSet write_document_set(const Venue& venue, const Plan& plan);
// The whole alone.
std::string write_sheets(const Venue& venue, const Plan& plan);

// RFC 4180, one header row with units, numbers as numbers, CRLF line ends.
std::string channels_csv(const Venue& venue, const Plan& plan);   // one row per channel and carriage
std::string wiring_csv(const Venue& venue, const Plan& plan);     // one row per cable
std::string settings_csv(const Venue& venue, const Plan& plan);   // trims, slopes, pads, taps
std::string parts_csv(const Venue& venue, const Plan& plan);      // counts and lengths
std::string power_csv(const Venue& venue, const Plan& plan);      // one row per fed part
std::string addresses_csv(const Venue& venue, const Plan& plan);  // one row per group
std::string loads_csv(const Venue& venue, const Plan& plan);      // one row per link direction

}  // namespace mastline
