// SPDX-License-Identifier: Apache-2.0
#include "mastline/text/escape.hpp"
#include "planner/sheets/cautions.hpp"
#include "planner/sheets/level_text.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

// What a meter reads at one end: "expect −28.0/−30.0 dBm".
std::string expected(const PlanIndex& index, const PortRef& port, LaneNumber conductor) {
    std::vector<const PortLevel*> levels;
    for (const auto* level : index.levels(port))
        if (level->conductor == conductor) levels.push_back(level);
    const std::string pair = level_pair(levels);
    return pair.empty() ? "" : " <span>expect " + pair + " dBm</span>";
}

// Both ends of a cable carry the same label and say where this end belongs first.
std::string label_pair(const PlanIndex& index, const Run& run, const RunLane& lane) {
    const std::string label = escape_markup(cable_label(run, lane));
    const auto end = [&](const PortRef& port, LaneNumber number) {
        return escape_markup(to_text(port)) + " lane " + std::to_string(number.value);
    };
    const std::string from = end(run.from, lane.from), to = end(run.to, lane.to);
    const std::string kind = escape_markup(run.cable) + ", " + to_text(run.length);
    const auto one = [&](const std::string& here, const std::string& there, const std::string& level) {
        return "<li><b>" + label + "</b> <span>" + here + "</span> <span>to " + there +
               "</span> <span>" + kind + "</span>" + level + "</li>";
    };
    return one(from, to, expected(index, run.from, lane.from)) +
           one(to, from, expected(index, run.to, lane.to)) + "\n";
}

}  // namespace

Sheet wiring_sheet(const PlanIndex& index) {
    Sheet sheet{"wiring", "Power and wiring", "", Scale::none};
    sheet.body = cautions({Work::roof, Work::power, Work::fibre, Work::coax});
    bool is_bare = true;
    for (const auto& table :
         {supply_table(index), fed_part_table(index), wiring_table(index), settings_table(index),
          equipment_table(index), user_band_table(index), parts_table(index)}) {
        if (table.rows.empty()) continue;
        sheet.body += to_html(table);
        is_bare = false;
    }
    if (is_bare) sheet.body += "<p>The venue has no cables and no equipment.</p>\n";
    return sheet;
}

Sheet cable_label_sheet(const PlanIndex& index) {
    Sheet sheet{"cable-labels", "Cable labels", "", Scale::none};
    std::string labels;
    for (const auto& run : index.venue().runs)
        for (const auto& lane : run.lanes) labels += label_pair(index, run, lane);
    sheet.body = labels.empty()
                     ? "<p>The venue has no cables.</p>\n"
                     : "<p>Two for every cable. Cut along the lines; the first line says where that "
                       "end belongs.</p><ul class=\"labels\">" +
                           labels + "</ul>\n";
    return sheet;
}

Sheet test_point_sheet(const PlanIndex& index) {
    Sheet sheet{"readings", "Test points", "", Scale::none};
    const auto table = test_point_table(index);
    sheet.body = cautions({Work::roof, Work::fibre, Work::coax}) +
                 (table.rows.empty()
                      ? "<p>No port is marked as a test point.</p>\n"
                      : "<p>Readings are entered in readings.csv; the planner compares them with what "
                        "is expected and names the part at fault.</p>\n" +
                            to_html(table));
    return sheet;
}

}  // namespace mastline
