// SPDX-License-Identifier: Apache-2.0
// Which rows of a long table go on paper: thousands would bury what matters.
#pragma once

#include <string>
#include <vector>

#include "planner/sheets/sheet_table.hpp"

namespace mastline {

// What a row of a table weighs against the others of its kind.
struct RowWeight {
    std::string kind;     // "link direction"; plural with an s, or es after ch
    double rank = 0;      // the greatest go on paper
    bool matters = false; // goes there in any case
};

// Leaves all but the 40 rows of highest rank of each kind, and those that matter, to the screen; says so, with
// how many of each kind are left out, and where they stand. REQUIRES: a weight for each row
void choose_for_paper(SheetTable& table, const std::vector<RowWeight>& weights, const std::string& order,
                      const std::string& file);

}  // namespace mastline
