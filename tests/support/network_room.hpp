// SPDX-License-Identifier: Apache-2.0
// A venue of the network room's sections alone, read from TOML text.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/text/toml_tree.hpp"
#include "mastline/venue/section.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline::test {

struct NetworkRoom {
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

inline void read_section(const Section& section, const tree::Value& value, NetworkRoom& room) {
    if (const auto* table = std::get_if<tree::Table>(&value.held)) {
        section.read(*table, room.venue, room.findings);
    } else if (const auto* list = std::get_if<tree::Array>(&value.held)) {
        for (const auto& item : *list) section.read(std::get<tree::Table>(item.held), room.venue, room.findings);
    }
}

// `channels` are there for zones to refer to: "101", "102.1".
inline NetworkRoom network_room(std::string_view toml, std::vector<ChannelNumber> channels = {}) {
    NetworkRoom room;
    for (const auto number : channels) room.venue.channels.push_back({.number = number});
    const auto tree = parse_toml(toml, "venue.toml", room.findings);
    if (!tree) return room;
    for (const auto& section : network_sections())
        if (const auto* entry = tree::find(*tree, section.key))
            read_section(section, entry->value, room);
    check_network(room.venue, room.findings);
    return room;
}

}  // namespace mastline::test
