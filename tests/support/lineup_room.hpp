// SPDX-License-Identifier: Apache-2.0
// A venue of the lineup room's sections alone, read from TOML text; carriers are given.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/text/toml_tree.hpp"
#include "mastline/venue/channel_csv.hpp"
#include "mastline/venue/section.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline::test {

struct LineupRoom {
    Venue venue;
    Findings findings;

    // Every finding as one line, worst first.
    std::vector<std::string> lines() {
        sort_findings(findings);
        std::vector<std::string> out;
        for (const auto& f : findings) out.push_back(to_line(f));
        return out;
    }
};

// Carriers "w1" to "w3" are on lane 1 of the feed "west", in dvb-s2.
inline LineupRoom empty_lineup_room() {
    LineupRoom room;
    for (const auto* name : {"w1", "w2", "w3"}) {
        Carrier carrier;
        carrier.name = name;
        carrier.feed = "west";
        carrier.system = "dvb-s2";
        room.venue.carriers.push_back(carrier);
    }
    return room;
}

inline void read_into(LineupRoom& room, const Section& section, const tree::Value& value) {
    if (const auto* table = std::get_if<tree::Table>(&value.held))
        section.read(*table, room.venue, room.findings);
    else if (const auto* list = std::get_if<tree::Array>(&value.held))
        for (const auto& item : *list)
            section.read(std::get<tree::Table>(item.held), room.venue, room.findings);
}

// `csv` is a channel list beside the venue file; empty: none.
inline LineupRoom lineup_room(std::string_view toml, std::string_view csv = {}) {
    LineupRoom room = empty_lineup_room();
    const auto tree = parse_toml(toml, "venue.toml", room.findings);
    if (!tree) return room;
    for (const auto& section : lineup_sections()) {
        if (const auto* entry = tree::find(*tree, section.key))
            read_into(room, section, entry->value);
        if (section.key == "channel" && !csv.empty())
            for (const auto& row : read_channel_csv(csv, "channels.csv", room.findings))
                section.read(row, room.venue, room.findings);
    }
    check_lineup(room.venue, room.findings);
    return room;
}

}  // namespace mastline::test
