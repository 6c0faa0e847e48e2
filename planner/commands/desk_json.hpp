// SPDX-License-Identifier: Apache-2.0
// What is on the desk, what came of a trial, and the sheets, as the page reads them: desk.schema.json,
// trial.schema.json.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "mastline/sheets/served_page.hpp"
#include "planner/commands/desk.hpp"

namespace mastline {

std::string desk_json(const DeskView& view);
std::string trial_json(const std::vector<VenueEdit>& edits, const Trial& trial);

// The set, with the elements of those sheets alone whose hash is not in `had`.
std::string sheets_json(const ServedSet& set, const std::string& base, const std::set<std::string>& had);

}  // namespace mastline
