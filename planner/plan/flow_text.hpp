// SPDX-License-Identifier: Apache-2.0
// The part of the plan file that probe and rehearsal read.
#pragma once

#include "mastline/expectation/expectation.hpp"
#include "mastline/venue/channels.hpp"
#include "planner/plan/toml_text.hpp"

namespace mastline {

// One [[flow]] with its components; `channel` adds what the lineup knows of it, when not null.
void write_flow(TomlText& out, const Expectation& flow, const Channel* channel);

}  // namespace mastline
