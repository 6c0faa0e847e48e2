// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <map>
#include <set>

#include "mastline/sheets/sheets.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

struct Extremes {
    std::optional<Level> lowest, highest;
};

// Nominal levels of every lane on one conductor, over both band edges.
Extremes nominal_levels(const PlanIndex& index, const PortRef& port, LaneNumber conductor) {
    Extremes out;
    for (const auto* level : index.levels(port)) {
        if (level->conductor != conductor) continue;
        for (const Level edge : {level->low.nominal, level->high.nominal}) {
            out.lowest = std::min(out.lowest.value_or(edge), edge);
            out.highest = std::max(out.highest.value_or(edge), edge);
        }
    }
    return out;
}

// "south-dish/1"; of several on one conductor only how many.
std::string carried(const PlanIndex& index, const PortRef& port, LaneNumber conductor) {
    std::set<LaneRef> lanes;
    for (const auto* level : index.levels(port))
        if (level->conductor == conductor) lanes.insert(level->lane);
    if (lanes.size() == 1) return to_text(*lanes.begin());
    return lanes.empty() ? "" : std::to_string(lanes.size()) + " lanes";
}

Cell level_cell(const std::optional<Level>& level) {
    return level ? number_cell(level->dbm(), 1) : Cell{};
}

using Shifts = std::map<std::pair<PortRef, PortRef>, std::set<int>>;

// By how many conductors the lanes between two ports move: by as many all, where they keep their order.
Shifts shifts_between_ports(const std::vector<Run>& runs) {
    Shifts out;
    for (const auto& run : runs)
        for (const auto& lane : run.lanes) out[{run.from, run.to}].insert(lane.to.value - lane.from.value);
    return out;
}

Row cable_row(const PlanIndex& index, const Run& run, const RunLane& lane, const Shifts& shifts) {
    const auto start = nominal_levels(index, run.from, lane.from);
    const auto end = nominal_levels(index, run.to, lane.to);
    const bool in_order = shifts.at({run.from, run.to}).size() == 1;
    const auto crossed = lane.from != lane.to && !in_order ? "crossed" : "";
    const auto at = index.levels(run.from);
    const bool light = !at.empty() && at.front()->optical;
    return {
        "",
        {text_cell(cable_label(run, lane)),
         link_cell(run.from.device, index.picture_id(run.from.device)), text_cell(run.from.port),
         number_cell(lane.from.value, 0), link_cell(run.to.device, index.picture_id(run.to.device)),
         text_cell(run.to.port), number_cell(lane.to.value, 0),
         text_cell(run.medium == RunMedium::fibre ? "fibre" : "coax"), text_cell(run.cable),
         text_cell(light ? "light" : "RF"), text_cell(carried(index, run.from, lane.from)),
         number_cell(run.length.metres(), 1), text_cell(run.outdoor ? "outdoor" : "indoor"),
         level_cell(start.lowest), level_cell(start.highest), level_cell(end.lowest),
         level_cell(end.highest), text_cell(crossed)}};
}

}  // namespace

std::string cable_label(const Run& run, const RunLane& lane) {
    return run.lanes.size() > 1 ? run.name + "/" + std::to_string(lane.from.value) : run.name;
}

SheetTable wiring_table(const PlanIndex& index) {
    SheetTable out{"wiring-list",
                   "Wiring list: one row per cable",
                   {{"Label"},
                    {"From"},
                    {"Port"},
                    {"Lane", "", true},
                    {"To"},
                    {"Port"},
                    {"Lane", "", true},
                    {"Medium"},
                    {"Class"},
                    {"Signal"},
                    {"Carries"},
                    {"Length", "m", true},
                    {"Place"},
                    {"From, lowest", "dBm", true},
                    {"From, highest", "dBm", true},
                    {"To, lowest", "dBm", true},
                    {"To, highest", "dBm", true},
                    {"Remark"}},
                   {}};
    const auto shifts = shifts_between_ports(index.venue().runs);
    for (const auto& run : index.venue().runs)
        for (const auto& lane : run.lanes) out.rows.push_back(cable_row(index, run, lane, shifts));
    return out;
}

std::string wiring_csv(const Venue& venue, const Plan& plan) {
    return to_csv(wiring_table(PlanIndex(venue, plan)));
}

}  // namespace mastline
