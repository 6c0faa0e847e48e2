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
};

Sheet findings_sheet(const PlanIndex& index);
Sheet signal_sheet(const PlanIndex& index);
Sheet ladder_sheet(const PlanIndex& index);
Sheet wiring_sheet(const PlanIndex& index);
Sheet card_sheet(const PlanIndex& index);
Sheet channel_sheet(const PlanIndex& index);
Sheet address_sheet(const PlanIndex& index);
Sheet network_sheet(const PlanIndex& index);
Sheet cutover_sheet(const PlanIndex& index);

}  // namespace mastline
