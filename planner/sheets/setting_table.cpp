// SPDX-License-Identifier: Apache-2.0
// What is set or fitted on devices: trims, slopes, pads, taps, and who chose it.
#include <algorithm>

#include "mastline/signal/lists.hpp"
#include "mastline/venue/device_kinds.hpp"
#include "planner/sheets/level_text.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

Row setting_row(const PlanIndex& index, const Device& device, std::string_view what,
                std::optional<LaneNumber> lane, const Cell& value, std::string_view origin) {
    return {"",
            {link_cell(device.name, index.picture_id(device.name)),
             text_cell(std::string(to_text(device.kind))), text_cell(device.model),
             text_cell(device.position), text_cell(std::string(what)),
             lane ? number_cell(lane->value, 0) : text_cell("all"), value,
             text_cell(std::string(origin)), text_cell("")}};
}

Cell gain_cell(const std::optional<Gain>& gain) {
    return gain ? number_cell(gain->db(), 1) : text_cell("none");
}

// Parts with one value from the maker: the right one has to be fitted, so they stand in the list.
void add_fixed_parts(std::vector<Row>& rows, const PlanIndex& index, const Device& device,
                     bool has_chosen_tap) {
    const auto add = [&](std::string_view what, const std::vector<GainPoint>& points) {
        if (!points.empty())
            rows.push_back(setting_row(index, device, what, std::nullopt,
                                       gain_cell(-points.front().gain), "fixed"));
    };
    if (!has_chosen_tap) add("tap", device.data.tap_loss);
    if (device.kind == DeviceKind::equaliser) add("equaliser, at its low end", device.data.loss);
}

}  // namespace

SheetTable settings_table(const PlanIndex& index) {
    SheetTable out{"settings-list",
                   "Settings list: trims, slopes, pads, taps",
                   {{"Device"},
                    {"Kind"},
                    {"Model"},
                    {"Position"},
                    {"Setting"},
                    {"Lane"},
                    {"Value", "dB", true},
                    {"Origin"},
                    {"Set by, date"}},
                   {},
                   true};
    const auto& devices = index.venue().devices;
    const auto& choices = index.plan().signal.choices;
    if (choices.size() != devices.size()) return out;  // nothing was planned
    const auto lines = settings_list(index.venue(), index.plan().signal);
    std::size_t next = 0;
    for (std::size_t d = 0; d < devices.size(); ++d) {
        for (; next < lines.size() && lines[next].device == devices[d].name; ++next) {
            const auto& line = lines[next];
            out.rows.push_back(setting_row(index, devices[d], to_text(line.kind), line.lane,
                                           gain_cell(line.value), line.given ? "given" : "found"));
        }
        add_fixed_parts(out.rows, index, devices[d], choices[d].tap.has_value());
    }
    return out;
}

std::string settings_csv(const Venue& venue, const Plan& plan) {
    return to_csv(settings_table(PlanIndex(venue, plan)));
}

}  // namespace mastline
