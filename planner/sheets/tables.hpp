// SPDX-License-Identifier: Apache-2.0
// The tables of the document set, before they become HTML or CSV.
#pragma once

#include "planner/sheets/plan_index.hpp"
#include "planner/sheets/sheet_table.hpp"

namespace mastline {

SheetTable findings_table(const PlanIndex& index);
SheetTable wiring_table(const PlanIndex& index);     // one row per cable
SheetTable equipment_table(const PlanIndex& index);  // feeds and devices
SheetTable settings_table(const PlanIndex& index);   // what is set or fitted, and who chose it
SheetTable parts_table(const PlanIndex& index);
SheetTable supply_table(const PlanIndex& index);
SheetTable fed_part_table(const PlanIndex& index);
SheetTable noise_table(const PlanIndex& index);        // one row per carrier and card input
SheetTable worst_noise_table(const PlanIndex& index);  // one row per carrier
SheetTable amplifier_table(const PlanIndex& index);
SheetTable user_band_table(const PlanIndex& index);
SheetTable test_point_table(const PlanIndex& index);  // with a blank for each reading
SheetTable card_table(const PlanIndex& index);
SheetTable proof_table(const PlanIndex& index);  // why no fewer cards would do
SheetTable move_table(const PlanIndex& index);   // against the plan that was kept
SheetTable carrier_table(const PlanIndex& index);
SheetTable channel_table(const PlanIndex& index);  // one row per carriage
SheetTable address_table(const PlanIndex& index);
SheetTable switch_table(const PlanIndex& index);
SheetTable load_table(const PlanIndex& index);
SheetTable load_table_in_full(const PlanIndex& index);  // wider than paper
SheetTable bundle_table(const PlanIndex& index);
SheetTable varying_table(const PlanIndex& index);  // empty where no stream varies
SheetTable timer_table(const PlanIndex& index);
SheetTable cut_off_table(const PlanIndex& index);
SheetTable source_loss_table(const PlanIndex& index);

// Label on the cable of one conductor of a run: "R12" or, in a run of several, "R12/1".
std::string cable_label(const Run& run, const RunLane& lane);

}  // namespace mastline
