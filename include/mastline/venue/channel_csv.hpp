// SPDX-License-Identifier: Apache-2.0
// A channel list as a spreadsheet saves it (RFC 4180), turned into the tables that [[channel]]
// would give.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/text/tree.hpp"

namespace mastline {

// One field with the place of its first character.
struct CsvField {
    std::string text;
    Place place;
};

struct CsvRow {
    std::vector<CsvField> fields;
    Place place;
};

// Rows of a CSV text, empty lines left out. A byte order mark, CRLF, CR and LF are accepted; the
// separator is a comma, or a semicolon or tab where the first line that has any has more of those. Faults
// (a quote left open, text after a closing quote, bytes that are no UTF-8) go to `findings`.
std::vector<CsvRow> read_csv(std::string_view text, const std::string& file, Findings& findings);

// One table per row below the header. Header words are the keys of [[channel]], capitals and blanks
// tolerated; an unknown or repeated one is an error at its place.
std::vector<tree::Table> read_channel_csv(std::string_view text, const std::string& file,
                                          Findings& findings);

}  // namespace mastline
