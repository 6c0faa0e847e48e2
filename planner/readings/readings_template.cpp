// SPDX-License-Identifier: Apache-2.0
#include "mastline/readings/readings_template.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "mastline/text/escape.hpp"
#include "mastline/venue/port_index.hpp"

namespace mastline {

namespace {

// An output of a device that nothing is plugged into, beside others that are in use.
bool is_spare(const Venue& venue, const Device& device, const Port& port) {
    const auto used = [&](const Port& p) {
        return std::any_of(venue.runs.begin(), venue.runs.end(),
                           [&](const Run& run) { return run.from == PortRef{device.name, p.name}; });
    };
    return port.direction == PortDirection::out && !used(port) &&
           std::any_of(device.ports.begin(), device.ports.end(), used);
}

std::vector<PortRef> points_of(const Venue& venue) {
    std::vector<PortRef> marked, outputs, cards;
    for (const auto& device : venue.devices)
        for (const auto& port : device.ports) {
            if (is_spare(venue, device, port) && device.kind == DeviceKind::multiswitch) continue;
            if (port.test_point) marked.push_back({device.name, port.name});
            if (port.direction == PortDirection::out) outputs.push_back({device.name, port.name});
        }
    const PortIndex index(venue);
    for (const auto& card : venue.cards)
        if (const auto* node = index.node(card.name); node != nullptr && node->kind == NodeKind::card)
            for (const auto& port : node->ports) cards.push_back({card.name, port.name});
    auto out = marked.empty() ? outputs : marked;
    out.insert(out.end(), cards.begin(), cards.end());
    return out;
}

// A meter reads carriers; the edges of the band, or of the user bands, stand in for them. Light has no
// frequency.
std::vector<LevelRange> ranges_of(const PortLevel& level) {
    if (level.optical) return {level.low};
    if (!level.user_bands && !level.carriers.empty()) return level.carriers;
    if (level.high.at == level.low.at) return {level.low};
    return {level.low, level.high};
}

std::string row(const BlankReading& blank) {
    const auto number = [](Level l) { return fixed_text(l.dbm(), 1); };
    const auto& range = blank.expected;
    return csv_field(to_text(blank.port)) + "," + std::to_string(blank.conductor.value) + "," +
           (blank.optical ? "" : csv_field(to_text(range.at))) + ",,dBm,,," + csv_field(blank.signal) + "," +
           number(range.nominal) + "," + number(range.worst_low) + "," + number(range.worst_high) + "\r\n";
}

}  // namespace

std::vector<BlankReading> blank_readings(const Venue& venue, const SignalPlan& plan) {
    std::map<PortRef, std::vector<const PortLevel*>> levels;
    for (const auto& level : plan.levels) levels[level.port].push_back(&level);
    std::vector<BlankReading> out;
    for (const auto& port : points_of(venue)) {
        std::set<std::string> told;  // signals in user bands share their rows
        for (const auto* level : levels[port]) {
            std::vector<BlankReading> blanks;
            std::string rows;
            for (const auto& range : ranges_of(*level)) {
                blanks.push_back({level->port, level->conductor, level->user_bands ? "user band" : to_text(level->lane), level->optical, range});
                rows += row(blanks.back());
            }
            if (told.insert(rows).second) out.insert(out.end(), blanks.begin(), blanks.end());
        }
    }
    return out;
}

std::string readings_template(const Venue& venue, const SignalPlan& plan) {
    std::string out =
        "test point,lane,frequency,level,unit,time,instrument,signal,expected dBm,lowest dBm,highest dBm\r\n";
    for (const auto& blank : blank_readings(venue, plan)) out += row(blank);
    return out;
}

}  // namespace mastline
