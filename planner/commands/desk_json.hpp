// SPDX-License-Identifier: Apache-2.0
// What is on the desk, and what came of a trial, as the page reads it: desk.schema.json, trial.schema.json.
#pragma once

#include <string>
#include <vector>

#include "planner/commands/desk.hpp"

namespace mastline {

std::string desk_json(const DeskView& view);
std::string trial_json(const std::vector<VenueEdit>& edits, const Trial& trial);

}  // namespace mastline
