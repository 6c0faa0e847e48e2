// SPDX-License-Identifier: Apache-2.0
// What an earlier plan of the same venue leaves to the next: channels stay on their cards and
// groups where they can.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "mastline/addressing/addressing.hpp"
#include "mastline/assignment/assign.hpp"
#include "mastline/plan/plan.hpp"
#include "mastline/text/tree.hpp"

namespace mastline {

struct KeptPlan {
    std::vector<KeptHome> homes;
    AddressHistory addresses;
};

// None when the file is no plan of ours; what is wrong is in `findings`.
std::optional<KeptPlan> read_kept_plan(const tree::Table& root, Findings& findings);

// As make_plan(venue), with fewest moves first. A group freed now rests from `kept`'s day on.
Plan make_plan(const Venue& venue, const KeptPlan& kept, const PlanStepSink& begins = {});

// "2026-03-01"; none when the text is no day of the calendar.
std::optional<std::chrono::sys_days> parse_day(std::string_view text);
std::string day_text(std::chrono::sys_days day);

}  // namespace mastline
