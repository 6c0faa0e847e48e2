// SPDX-License-Identifier: Apache-2.0
#include "mastline/signal/lists.hpp"
#include "mastline/sheets/sheets.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

Row reading_row(const PlanIndex& index, const TestPointLine& line, const LevelRange& at) {
    return {"",
            {link_cell(to_text(line.port), index.picture_id(line.port.device)),
             number_cell(line.conductor.value, 0), text_cell(to_text(line.lane)),
             text_cell(line.optical ? "light" : "RF"), number_cell(megahertz(at.at), 2),
             number_cell(at.nominal.dbm(), 1), number_cell(at.rss_low.dbm(), 1),
             number_cell(at.rss_high.dbm(), 1), text_cell(""), text_cell("")}};
}

}  // namespace

SheetTable test_point_table(const PlanIndex& index) {
    SheetTable out{"test-points",
                   "Test points: expected readings and room for yours",
                   {{"Test point"},
                    {"Conductor", "", true},
                    {"Lane"},
                    {"Signal"},
                    {"Frequency", "MHz", true},
                    {"Expected", "dBm", true},
                    {"Least", "dBm", true},
                    {"Most", "dBm", true},
                    {"Reading", "dBm"},
                    {"Meter, date, initials"}},
                   {}};
    for (const auto& line : test_point_list(index.venue(), index.plan().signal))
        for (const auto& at : line.expected) {
            out.rows.push_back(reading_row(index, line, at));
            if (line.optical) break;  // light is measured once, whatever it carries
        }
    return out;
}

}  // namespace mastline
