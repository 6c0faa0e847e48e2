// SPDX-License-Identifier: Apache-2.0
// [[chassis]]: what cards sit in.
#include "mastline/text/table_reader.hpp"
#include "mastline/venue/venue.hpp"
#include "planner/venue/lineup_tables.hpp"
#include "planner/venue/read_rate.hpp"
#include "planner/venue/sender_address.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 10> kChassisKeys{{
    {"name", "text", true, "Key by which cards refer to it; unique."},
    {"position", "text", false, "For people: where it stands."},
    {"slots", "whole number", true, "Places for cards, numbered from 1."},
    {"tuner_slots", "list of whole numbers", false, "Slots that take tuner cards; default: all."},
    {"encoder_slots", "list of whole numbers", false, "Slots that take encoder cards; default: all."},
    {"output_limit", "bit rate", false, "Greatest transport rate of all its cards together."},
    {"licences", "whole number", false, "Channels that all its cards together are licensed for."},
    {"source", "IP address", false, "Address that its cards send from unless they say otherwise."},
    {"attached_to", "name of a switch", false, "Switch that its cards are plugged into unless they say otherwise."},
    {"port_speed", "bit rate", false, "Speed of that connection."},
}};
constexpr TableDoc kChassisTable{"[[chassis]]", "What cards sit in.", kChassisKeys};

std::vector<int> read_slots(TableReader& reader, std::string_view key, int slots) {
    std::vector<int> out;
    for (const auto n : reader.integers(key, 1, slots)) out.push_back(static_cast<int>(n));
    return out;
}

void read_chassis(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader reader(table, kChassisTable, findings);
    Chassis out;
    out.place = reader.place();
    out.name = reader.text("name").value_or("");
    static_cast<void>(reader.text("position"));
    out.slots = static_cast<int>(reader.integer("slots", 1, 1000).value_or(1000));
    out.tuner_slots = read_slots(reader, "tuner_slots", out.slots);
    out.encoder_slots = read_slots(reader, "encoder_slots", out.slots);
    out.output_limit = read_rate(reader, "output_limit");
    if (const auto n = reader.integer("licences", 0, 100'000)) out.licences = static_cast<int>(*n);
    out.source = read_sender_address(reader, "source", "lineup.bad-source-address", "a chassis",
                                     "give the address that its cards' streams come from");
    out.attached_to = reader.text("attached_to").value_or("");
    out.port_speed = read_rate(reader, "port_speed");
    venue.chassis.push_back(std::move(out));
}

}  // namespace

VenueSection chassis_section() { return {"chassis", true, {&kChassisTable}, read_chassis}; }

}  // namespace mastline
