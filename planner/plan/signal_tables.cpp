// SPDX-License-Identifier: Apache-2.0
#include "planner/plan/planner_tables.hpp"

namespace mastline {

namespace {

std::vector<TomlText::Member> members_of(const LevelRange& range) {
    return {{"at", {to_text(range.at)}},
            {"nominal", {to_exact_text(range.nominal)}},
            {"worst", {to_exact_text(range.worst_low), to_exact_text(range.worst_high)}},
            {"rss", {to_exact_text(range.rss_low), to_exact_text(range.rss_high)}}};
}

void write_level(TomlText& out, const PortLevel& level) {
    out.item("planner.level");
    out.text("port", to_text(level.port));
    out.integer("conductor", level.conductor.value);
    out.text("lane", to_text(level.lane));
    out.inline_table("low", members_of(level.low));
    out.inline_table("high", members_of(level.high));
    for (std::size_t i = 0; i < level.carriers.size() && i < level.carrier_names.size(); ++i)
        out.inline_table("carrier." + toml_string(level.carrier_names[i]),
                         members_of(level.carriers[i]));
    if (level.window)
        out.texts("window", {to_exact_text(level.window->low), to_exact_text(level.window->high)});
    if (level.margin) out.text("margin", to_exact_text(*level.margin));
}

void write_reach(TomlText& out, const PortRef& input, const ReachedLane& reached) {
    out.item("planner.reach");
    out.text("input", to_text(input));
    out.text("lane", to_text(reached.lane));
    out.boolean("in_window", reached.in_window);
    out.text("margin", to_exact_text(reached.margin));
}

void write_noise(TomlText& out, const CarrierNoise& noise) {
    out.item("planner.noise");
    out.text("input", to_text(noise.input));
    out.text("lane", to_text(noise.lane));
    out.text("carrier", noise.carrier);
    out.text("carrier_to_noise", to_exact_text(noise.carrier_to_noise));
    if (noise.threshold) out.text("threshold", to_exact_text(*noise.threshold));
    if (noise.margin) out.text("margin", to_exact_text(*noise.margin));
}

void write_amplifier(TomlText& out, const AmplifierLoad& load) {
    out.item("planner.amplifier");
    out.text("output", to_text(load.output));
    out.integer("conductor", load.conductor.value);
    out.integer("carriers", load.carriers);
    out.text("total_power", to_exact_text(load.total_power));
    out.text("highest", to_exact_text(load.highest));
    out.text("limit", to_exact_text(load.limit));
    out.text("margin", to_exact_text(load.margin));
}

void write_user_band(TomlText& out, const UserBandUse& use) {
    out.item("planner.user_band");
    out.text("output", to_text(use.output));
    out.integer("slot", use.slot);
    out.text("centre", to_text(use.centre));
    out.text("input", to_text(use.input));
}

}  // namespace

void write_levels(TomlText& out, const SignalPlan& signal) {
    for (const auto& level : signal.levels) write_level(out, level);
    for (const auto& reach : signal.reach)
        for (const auto& reached : reach.lanes) write_reach(out, reach.input, reached);
    for (const auto& noise : signal.noise) write_noise(out, noise);
    for (const auto& load : signal.amplifiers) write_amplifier(out, load);
    for (const auto& use : signal.user_bands) write_user_band(out, use);
}

}  // namespace mastline
