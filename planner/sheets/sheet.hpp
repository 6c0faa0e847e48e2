// SPDX-License-Identifier: Apache-2.0
// The sheets of the document set. Each is a pure function of the plan; a sheet without anything to
// show says so in words.
#pragma once

#include <string>
#include <vector>

#include "planner/sheets/plan_index.hpp"

namespace mastline {

enum class Scale : std::uint8_t { none, not_to_scale };

struct Sheet {
    std::string id;  // of the HTML element
    std::string title;
    std::string body;  // HTML
    Scale scale = Scale::none;
    std::string number = {};  // "4", or "4a" for a sheet that belongs to sheet 4; set by all_sheets()
};

// The set in its order, numbered: ten sheets, and those that belong to one of them after it.
std::vector<Sheet> all_sheets(const PlanIndex& index);

Sheet findings_sheet(const PlanIndex& index);
Sheet signal_sheet(const PlanIndex& index);
Sheet ladder_sheet(const PlanIndex& index);
Sheet wiring_sheet(const PlanIndex& index);
Sheet cable_label_sheet(const PlanIndex& index);  // to be cut out, both ends of every cable
Sheet test_point_sheet(const PlanIndex& index);   // with blanks for readings
Sheet card_sheet(const PlanIndex& index);
Sheet channel_sheet(const PlanIndex& index);
Sheet guide_sheet(const PlanIndex& index);  // for staff: number and name
Sheet address_sheet(const PlanIndex& index);
Sheet network_sheet(const PlanIndex& index);
Sheet agreement_sheet(const PlanIndex& index);  // one page
Sheet what_if_sheet(const PlanIndex& index);
Sheet cutover_sheet(const PlanIndex& index);

}  // namespace mastline
