// SPDX-License-Identifier: Apache-2.0
#include "mastline/readings/readings_template.hpp"

#include <map>
#include <set>

#include "mastline/text/escape.hpp"
#include "mastline/venue/port_index.hpp"

namespace mastline {

namespace {

std::vector<PortRef> points_of(const Venue& venue) {
    std::vector<PortRef> marked, outputs, cards;
    for (const auto& device : venue.devices)
        for (const auto& port : device.ports) {
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

std::string row(const PortLevel& level, const LevelRange& range) {
    const auto number = [](Level l) { return fixed_text(l.dbm(), 1); };
    return csv_field(to_text(level.port)) + "," + std::to_string(level.conductor.value) + "," +
           (level.optical ? "" : csv_field(to_text(range.at))) + ",,dBm,,," +
           csv_field(level.user_bands ? "user band" : to_text(level.lane)) + "," + number(range.nominal) + "," +
           number(range.worst_low) + "," + number(range.worst_high) + "\r\n";
}

}  // namespace

std::string readings_template(const Venue& venue, const SignalPlan& plan) {
    std::map<PortRef, std::vector<const PortLevel*>> levels;
    for (const auto& level : plan.levels) levels[level.port].push_back(&level);
    std::string out =
        "test point,lane,frequency,level,unit,time,instrument,signal,expected dBm,lowest dBm,highest dBm\r\n";
    for (const auto& port : points_of(venue)) {
        std::set<std::string> told;  // signals in user bands share their rows
        for (const auto* level : levels[port]) {
            std::string rows = row(*level, level->low);
            if (!level->optical && level->high.at != level->low.at) rows += row(*level, level->high);
            if (told.insert(rows).second) out += rows;
        }
    }
    return out;
}

}  // namespace mastline
