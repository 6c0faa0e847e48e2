// SPDX-License-Identifier: Apache-2.0
// What is set, bought and measured on devices.
#include <algorithm>
#include <map>

#include "mastline/signal/choices.hpp"
#include "mastline/venue/device_kinds.hpp"
#include "planner/sheets/level_text.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

// One row of the settings list; lane 0: all lanes.
struct Setting {
    std::string_view what;
    int lane = 0;
    std::optional<Gain> value;  // none: nothing is fitted there
};

void add_lanes(std::vector<Setting>& out, std::string_view what,
               const std::vector<std::optional<Gain>>& values) {
    for (std::size_t i = 0; i < values.size(); ++i)
        out.push_back({what, static_cast<int>(i) + 1, values[i]});
}

// Losses are told as they are printed on the part: positive.
std::vector<Setting> settings_of(const Device& device, const DeviceChoice& choice) {
    std::vector<Setting> out;
    std::vector<std::optional<Gain>> trims(choice.trim.begin(), choice.trim.end()), pads;
    add_lanes(out, "trim", trims);
    if (device.kind == DeviceKind::amplifier) out.push_back({"slope", 0, choice.slope});
    for (const auto& pad : choice.pads)
        pads.push_back(pad ? std::optional<Gain>(pad->loss) : std::nullopt);
    add_lanes(out, "pad", pads);
    const auto tells = [&](std::string_view what, const std::vector<GainPoint>& points) {
        if (!points.empty()) out.push_back({what, 0, -points.front().gain});
    };
    tells("tap loss", device.data.tap_loss);
    if (device.kind == DeviceKind::equaliser) tells("loss at its low end", device.data.loss);
    return out;
}

// Parts of one sort: counted, or measured by length.
struct Quantity {
    std::size_t count = 0;
    double metres = 0;
};
using PartName = std::pair<std::string, std::string>;  // what it is, which model or class

std::map<PartName, Quantity> count_parts(const Venue& venue) {
    std::map<PartName, Quantity> parts;
    for (const auto& device : venue.devices)
        ++parts[{std::string(to_text(device.kind)), device.model}].count;
    for (const auto& run : venue.runs) {
        auto& cable = parts[{run.medium == RunMedium::fibre ? "fibre" : "coax", run.cable}];
        cable.count += run.lanes.size();
        cable.metres += run.length.metres() * static_cast<double>(run.lanes.size());
    }
    for (const auto& card : venue.cards) ++parts[{"card", card.model}].count;
    for (const auto& chassis : venue.chassis)
        ++parts[{"chassis", counted(static_cast<std::size_t>(chassis.slots), "slot", "slots")}]
              .count;
    return parts;
}

std::string port_names(const Device& device) {
    std::string out;
    for (const auto& port : device.ports) out += (out.empty() ? "" : ", ") + port.name;
    return out;
}

Row reading_row(const PortLevel& level, const LevelRange& at) {
    return {"",
            {text_cell(to_text(level.port)), number_cell(level.conductor.value, 0),
             text_cell(to_text(level.lane)), number_cell(megahertz(at.at), 0),
             number_cell(at.nominal.dbm(), 1), number_cell(at.rss_low.dbm(), 1),
             number_cell(at.rss_high.dbm(), 1), text_cell(""), text_cell("")}};
}

}  // namespace

SheetTable equipment_table(const PlanIndex& index) {
    SheetTable out{
        "equipment-list",
        "Equipment between roof and cards",
        {{"Name"}, {"Kind"}, {"Model"}, {"Position"}, {"Ports"}, {"Least margin", "dB", true}},
        {}};
    const auto add = [&](const std::string& name, std::string_view kind, const std::string& model,
                         const std::string& position, std::string ports,
                         const std::optional<Gain>& margin) {
        Cell figure = margin ? number_cell(margin->db(), 1) : Cell{};
        figure.fit = fit_of(margin);
        out.rows.push_back(
            {index.row_id(name),
             {link_cell(name, index.picture_id(name)), text_cell(std::string(kind)),
              text_cell(model), text_cell(position), text_cell(std::move(ports)), figure}});
    };
    for (const auto& feed : index.venue().feeds)
        add(feed.name, feed.kind == FeedKind::satellite ? "satellite feed" : "antenna", "",
            feed.position, counted(feed.lanes.size(), "lane", "lanes"), std::nullopt);
    for (const auto& device : index.venue().devices) {
        std::optional<Gain> least;
        for (const auto& port : device.ports)
            if (const auto margin = least_margin(index.levels({device.name, port.name})))
                least = std::min(least.value_or(*margin), *margin);
        add(device.name, to_text(device.kind), device.model, device.position, port_names(device),
            least);
    }
    return out;
}

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
                    {"Set by, date"}},
                   {}};
    const auto choices = given_choices(index.venue());
    for (std::size_t d = 0; d < choices.size(); ++d) {
        const Device& device = index.venue().devices[d];
        for (const auto& setting : settings_of(device, choices[d]))
            out.rows.push_back(
                {"",
                 {link_cell(device.name, index.picture_id(device.name)),
                  text_cell(std::string(to_text(device.kind))), text_cell(device.model),
                  text_cell(device.position), text_cell(std::string(setting.what)),
                  text_cell(setting.lane > 0 ? std::to_string(setting.lane) : "all"),
                  setting.value ? number_cell(setting.value->db(), 1) : text_cell("none"),
                  text_cell("")}});
    }
    return out;
}

SheetTable parts_table(const PlanIndex& index) {
    SheetTable out{"parts-list",
                   "Parts list",
                   {{"Part"}, {"Model or class"}, {"Count", "", true}, {"Total length", "m", true}},
                   {}};
    for (const auto& [name, quantity] : count_parts(index.venue())) {
        const Cell length = quantity.metres > 0 ? number_cell(quantity.metres, 1) : Cell{};
        out.rows.push_back(
            {"",
             {text_cell(name.first), text_cell(name.second), count_cell(quantity.count), length}});
    }
    return out;
}

SheetTable test_point_table(const PlanIndex& index) {
    SheetTable out{"test-points",
                   "Test points: expected readings and room for yours",
                   {{"Test point"},
                    {"Conductor", "", true},
                    {"Lane"},
                    {"Frequency", "MHz", true},
                    {"Expected", "dBm", true},
                    {"Least", "dBm", true},
                    {"Most", "dBm", true},
                    {"Reading", "dBm"},
                    {"Meter, date, initials"}},
                   {}};
    for (const auto& device : index.venue().devices)
        for (const auto& port : device.ports) {
            if (!port.test_point) continue;
            for (const auto* level : index.levels({device.name, port.name})) {
                out.rows.push_back(reading_row(*level, level->low));
                out.rows.push_back(reading_row(*level, level->high));
            }
        }
    return out;
}

}  // namespace mastline
