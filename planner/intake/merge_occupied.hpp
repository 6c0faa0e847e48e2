// SPDX-License-Identifier: Apache-2.0
// Groups that a survey found in use into the [[occupied]] tables of a venue file, everything else in
// the file left as it is: comments, order, blank lines.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/net/group.hpp"

namespace mastline {

struct MergedOccupied {
    std::string text;                // of the file
    std::vector<std::string> added;  // "239.1.1.1-239.1.1.9"
    std::vector<std::string> own;    // left out: the plan's own streams
    std::size_t known = 0;           // inside what the file lists already
};

// `list` is a text with [[occupied]] tables, as mastline-probe survey writes it; `into` the venue
// file's, empty for a new one. Groups of `own` are left out. Faults go to `findings`, and then
// nothing is merged.
MergedOccupied merge_occupied(std::string_view list, const std::string& list_file, std::string_view into,
                              const std::string& into_file, const std::set<Group>& own, Findings& findings);

}  // namespace mastline
