// SPDX-License-Identifier: Apache-2.0
// The tables under `planner` in the plan file, one function per room.
#pragma once

#include "mastline/plan/plan.hpp"
#include "planner/plan/toml_text.hpp"

namespace mastline {

void write_findings(TomlText& out, const Findings& findings);
// Devices, settings, cables, parts and supplies.
void write_wiring(TomlText& out, const Venue& venue, const SignalPlan& signal);
void write_levels(TomlText& out, const SignalPlan& signal);
void write_assignment(TomlText& out, const Venue& venue, const Assignment& assignment);
void write_addressing(TomlText& out, const Addressing& addressing);
void write_loads(TomlText& out, const Plan& plan);

}  // namespace mastline
