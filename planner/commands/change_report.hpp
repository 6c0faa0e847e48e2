// SPDX-License-Identifier: Apache-2.0
// A change order for people and for programs.
#pragma once

#include <string>

#include "mastline/change/change_order.hpp"

namespace mastline {

// Counts, the steps in order with a box to tick, and what displays notice. Harmless on any terminal.
std::string change_text(const ChangeOrder& order);

// planner/commands/change.schema.json
std::string change_json(const ChangeOrder& order);

}  // namespace mastline
