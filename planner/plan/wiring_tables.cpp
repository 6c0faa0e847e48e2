// SPDX-License-Identifier: Apache-2.0
#include "mastline/signal/lists.hpp"
#include "mastline/venue/device_kinds.hpp"
#include "planner/plan/planner_tables.hpp"

namespace mastline {

namespace {

void write_device(TomlText& out, const Device& device) {
    out.item("planner.device");
    out.text("name", device.name);
    out.text("kind", to_text(device.kind));
    out.text_if("model", device.model);
    out.text_if("position", device.position);
}

void write_setting(TomlText& out, const SettingLine& setting) {
    static constexpr std::string_view kinds[] = {"trim", "slope", "pad", "tap"};
    out.item("planner.setting");
    out.text("device", setting.device);
    if (setting.lane) out.integer("lane", setting.lane->value);
    out.text("kind", kinds[static_cast<std::size_t>(setting.kind)]);
    out.text("value", setting.value ? to_exact_text(*setting.value) : "none");
    out.boolean("given", setting.given);
}

void write_part(TomlText& out, const PartLine& part) {
    out.item("planner.part");
    out.text("what", part.what);
    out.text("kind", part.kind);
    out.integer("count", part.count);
    if (part.length > Length{}) out.text("length", to_text(part.length));
}

// Lanes as "1" where they go straight and "1 to 2" where they are crossed.
std::vector<std::string> lane_texts(const Run& run) {
    std::vector<std::string> out;
    for (const auto& lane : run.lanes)
        out.push_back(std::to_string(lane.from.value) +
                      (lane.from == lane.to ? "" : " to " + std::to_string(lane.to.value)));
    return out;
}

void write_run(TomlText& out, const Run& run) {
    out.item("planner.cable");
    out.text("name", run.name);
    out.text("from", to_text(run.from));
    out.text("to", to_text(run.to));
    out.text("medium", run.medium == RunMedium::fibre ? "fibre" : "coax");
    out.text_if("cable", run.cable);
    out.text("length", to_text(run.length));
    out.texts("lanes", lane_texts(run));
}

void write_supply(TomlText& out, const PowerSupply& supply) {
    out.item("planner.supply");
    out.text("device", supply.device);
    out.text("voltage", to_text(supply.voltage));
    out.text("load", to_text(supply.load));
    if (supply.limit) out.text("limit", to_text(*supply.limit));
    out.texts("dark_channels", supply.dark_channels);
    for (const auto& load : supply.loads) {
        out.item("planner.supply.feeds");
        out.text("part", load.part);
        out.text("port", to_text(load.port));
        out.text("current", to_text(load.current));
        out.text("voltage", to_text(load.voltage));
    }
}

}  // namespace

void write_wiring(TomlText& out, const Venue& venue, const SignalPlan& signal) {
    for (const auto& device : venue.devices) write_device(out, device);
    for (const auto& setting : settings_list(venue, signal)) write_setting(out, setting);
    for (const auto& run : venue.runs) write_run(out, run);
    for (const auto& part : parts_list(venue, signal)) write_part(out, part);
    for (const auto& supply : signal.power) write_supply(out, supply);
}

}  // namespace mastline
