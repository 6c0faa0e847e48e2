// SPDX-License-Identifier: Apache-2.0
#include "mastline/signal/lists.hpp"
#include "mastline/sheets/sheets.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

constexpr std::size_t kEdges = 2;  // band edges, first in the list of a test point

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
                   {},
                   true};
    for (const auto& line : test_point_list(index.venue(), index.plan().signal)) {
        // A meter reads carriers; the band edges stand in for them where none is in use. Light is
        // measured once, whatever it carries.
        const std::size_t first = line.expected.size() > kEdges && !line.optical ? kEdges : 0;
        const std::size_t end = line.optical ? 1 : line.expected.size();
        for (std::size_t i = first; i < end; ++i)
            out.rows.push_back(reading_row(index, line, line.expected[i]));
    }
    return out;
}

}  // namespace mastline
