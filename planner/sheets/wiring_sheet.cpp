// SPDX-License-Identifier: Apache-2.0
#include "mastline/text/escape.hpp"
#include "planner/sheets/cautions.hpp"
#include "planner/sheets/level_text.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

// Both ends of a cable carry the same label and say where this end belongs first.
std::string label_pair(const Run& run, const RunLane& lane) {
    const std::string label = escape_markup(cable_label(run, lane));
    const auto end = [&](const PortRef& port, LaneNumber number) {
        return escape_markup(to_text(port)) + " lane " + std::to_string(number.value);
    };
    const std::string from = end(run.from, lane.from), to = end(run.to, lane.to);
    const std::string kind = escape_markup(run.cable) + ", " + to_text(run.length);
    const auto one = [&](const std::string& here, const std::string& there) {
        return "<li><b>" + label + "</b> <span>" + here + "</span> <span>to " + there +
               "</span> <span>" + kind + "</span></li>";
    };
    return one(from, to) + one(to, from) + "\n";
}

std::string cable_labels(const Venue& venue) {
    std::string out;
    for (const auto& run : venue.runs)
        for (const auto& lane : run.lanes) out += label_pair(run, lane);
    return "<h3>Cable labels, both ends</h3><p>Cut along the lines; the first line says where that "
           "end "
           "belongs.</p><ul class=\"labels\">" +
           out + "</ul>\n";
}

}  // namespace

Sheet wiring_sheet(const PlanIndex& index) {
    Sheet sheet{"wiring", "Power and wiring", "", Scale::none};
    const Venue& venue = index.venue();
    sheet.body = cautions({Work::roof, Work::power, Work::fibre, Work::coax});
    bool is_bare = true;
    for (const auto& table : {wiring_table(index), equipment_table(index), settings_table(index),
                              test_point_table(index), parts_table(index)}) {
        if (table.rows.empty()) continue;
        sheet.body += to_html(table);
        is_bare = false;
    }
    if (!venue.runs.empty()) sheet.body += cable_labels(venue);
    if (is_bare) sheet.body += "<p>The venue has no cables and no equipment.</p>\n";
    return sheet;
}

}  // namespace mastline
