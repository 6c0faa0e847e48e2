// SPDX-License-Identifier: Apache-2.0
// A list as a spreadsheet saves it (RFC 4180) as tables of keys.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/text/table_doc.hpp"
#include "mastline/text/tree.hpp"

namespace mastline {

// What messages call the list, and how its first row begins.
struct CsvListName {
    std::string noun, header;
};

// One table per row below the header. Header words are the keys, capitals, blanks and hyphens
// tolerated ("Apart from" is "apart_from"); an unknown or repeated one is an error at its place.
std::vector<tree::Table> read_csv_tables(std::string_view text, const std::string& file,
                                         const CsvListName& name, std::span<const KeyDoc> keys,
                                         Findings& findings);

}  // namespace mastline
