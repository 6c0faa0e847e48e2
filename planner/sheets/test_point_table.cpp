// SPDX-License-Identifier: Apache-2.0
#include "mastline/readings/readings_template.hpp"
#include "mastline/sheets/sheets.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

// The rows of readings.csv, in its order.
SheetTable test_point_table(const PlanIndex& index) {
    SheetTable out{"test-points",
                   "Test points: expected readings and room for yours",
                   {{"Test point"},
                    {"Lane", "", true},
                    {"Signal"},
                    {"Kind"},
                    {"Frequency", "MHz", true},
                    {"Expected", "dBm", true},
                    {"Lowest", "dBm", true},
                    {"Highest", "dBm", true},
                    {"Reading", "dBm"},
                    {"Meter, date, initials"}},
                   {},
                   true};
    for (const auto& blank : blank_readings(index.venue(), index.plan().signal)) {
        const auto& at = blank.expected;
        out.rows.push_back({"",
                            {link_cell(to_text(blank.port), index.picture_id(blank.port.device)), number_cell(blank.conductor.value, 0),
                             text_cell(blank.signal), text_cell(blank.optical ? "light" : "RF"),
                             blank.optical ? text_cell("") : number_cell(megahertz(at.at), 2), number_cell(at.nominal.dbm(), 1),
                             number_cell(at.worst_low.dbm(), 1), number_cell(at.worst_high.dbm(), 1), text_cell(""), text_cell("")}});
    }
    return out;
}

}  // namespace mastline
