// SPDX-License-Identifier: Apache-2.0
// The loss of parts, explained for people and for programs.
#pragma once

#include <string>

#include "mastline/change/what_if.hpp"

namespace mastline {

// One line of counts, then one for each channel that is hit. Harmless on any terminal.
std::string what_if_text(const Venue& venue, const WhatIf& result);

// planner/commands/what_if.schema.json
std::string what_if_json(const Venue& venue, const WhatIf& result);

}  // namespace mastline
