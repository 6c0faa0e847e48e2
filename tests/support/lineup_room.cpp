// SPDX-License-Identifier: Apache-2.0
#include "support/lineup_room.hpp"

#include "mastline/text/toml_tree.hpp"
#include "mastline/venue/channel_csv.hpp"
#include "mastline/venue/section.hpp"

namespace mastline::test {

LineupRoom::LineupRoom() = default;
LineupRoom::LineupRoom(LineupRoom&&) noexcept = default;
LineupRoom& LineupRoom::operator=(LineupRoom&&) noexcept = default;
LineupRoom::~LineupRoom() = default;

std::vector<std::string> LineupRoom::lines() {
    sort_findings(findings);
    std::vector<std::string> out;
    for (const auto& f : findings) out.push_back(to_line(f));
    return out;
}

LineupRoom empty_lineup_room() {
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

namespace {

void read_into(LineupRoom& room, const VenueSection& section, const tree::Value& value) {
    if (const auto* table = std::get_if<tree::Table>(&value.held))
        section.read(*table, room.venue, room.findings);
    else if (const auto* list = std::get_if<tree::Array>(&value.held))
        for (const auto& item : *list)
            section.read(std::get<tree::Table>(item.held), room.venue, room.findings);
}

}  // namespace

LineupRoom lineup_room(std::string_view toml, std::string_view csv) {
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
