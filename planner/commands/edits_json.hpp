// SPDX-License-Identifier: Apache-2.0
// Edits as a page sends them.
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "planner/intake/venue_edit.hpp"

namespace mastline {

struct AskedEdits {
    std::vector<VenueEdit> edits;
    std::string base;  // of the sheets that the page shows; empty: not told
    std::string had;   // hashes of sheets that it has, "HASH,HASH,..."
};

// What was sent is no list of edits; the text says what would be right.
struct EditsFault : std::runtime_error {
    using std::runtime_error::runtime_error;
};

// {"base": "...", "edits": [{"edit": "trim", "device": "amp", "trim_db": [-2, -3]},
//  {"edit": "slope", "device": "amp", "slope_db": 4}, {"edit": "pads", "device": "p", "pads_db": [6, null]},
//  {"edit": "loss", "device": "p", "loss_db": 3}, {"edit": "card", "name": "A9", "model": "tuner-16",
//  "chassis": "A", "wired_like": "A1", "state": "buy"}, {"edit": "no-link", "link": "core-1/core-2"}]}
// A null for trim_db, slope_db or pads_db leaves the setting to the planner. Throws EditsFault.
AskedEdits read_edits(std::string_view json);

}  // namespace mastline
