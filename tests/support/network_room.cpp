// SPDX-License-Identifier: Apache-2.0
#include "support/network_room.hpp"

#include "mastline/text/toml_tree.hpp"
#include "mastline/venue/section.hpp"

namespace mastline::test {

std::vector<std::string> NetworkRoom::lines() {
    sort_findings(findings);
    std::vector<std::string> out;
    for (const auto& f : findings) out.push_back(to_line(f));
    return out;
}

namespace {

void read_section(const VenueSection& section, const tree::Value& value, NetworkRoom& room) {
    if (const auto* table = std::get_if<tree::Table>(&value.held)) {
        section.read(*table, room.venue, room.findings);
    } else if (const auto* list = std::get_if<tree::Array>(&value.held)) {
        for (const auto& item : *list) section.read(std::get<tree::Table>(item.held), room.venue, room.findings);
    }
}

}  // namespace

NetworkRoom network_room(std::string_view toml, std::vector<ChannelNumber> channels) {
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
