// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "mastline/text/table_reader.hpp"
#include "planner/venue/network_tables.hpp"
#include "planner/venue/read_rate.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 7> kZoneKeys{{
    {"name", "text", true, "Name of the zone."},
    {"attached_to", "text", true, "Switch that its displays are plugged into, one to a port."},
    {"displays", "whole number", true, "How many displays."},
    {"port_speed", "bit rate", false, "Of each display's port; default 100 Mbit/s."},
    {"tagged", "true or false", false, "Frames to the displays keep the VLAN tag; default false."},
    {"defaults", "list of text", false,
     "Numbers of the channels shown as scheduled, dealt to the displays in turn."},
    {"recorded", "list of text", false,
     "Numbers of the channels that are joined all the time: recorders, static joins."},
}};

std::vector<ChannelRef> read_channels(TableReader& r, std::string_view key) {
    std::vector<ChannelRef> out;
    for (auto& [number, place] : r.labels(key)) out.push_back({std::move(number), std::move(place)});
    return out;
}

}  // namespace

const TableDoc kZoneDoc{"[[zone]]", "Displays behind one switch.", kZoneKeys};

void read_zone(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kZoneDoc, findings);
    Zone z;
    z.place = r.place();
    z.attached_place = r.place_of("attached_to");
    const auto name = r.text("name");
    const auto attached_to = r.text("attached_to");
    z.name = name.value_or("");
    z.attached_to = attached_to.value_or("");
    z.displays = static_cast<int>(r.integer("displays", 0, 1'000'000).value_or(0));
    z.port_speed =
        read_rate(r, "port_speed", BitRate(1000)).value_or(megabits_per_second(100));
    z.tagged = r.boolean("tagged").value_or(z.tagged);
    z.defaults = read_channels(r, "defaults");
    z.recorded = read_channels(r, "recorded");
    if (name && attached_to) venue.zones.push_back(std::move(z));
}

}  // namespace mastline
