// SPDX-License-Identifier: Apache-2.0
// [[channel]], and the rows of a channel list, which become the same tables.
#include "mastline/text/table_reader.hpp"
#include "mastline/venue/picture_words.hpp"
#include "mastline/venue/venue.hpp"
#include "planner/venue/channel_keys.hpp"
#include "planner/venue/lineup_tables.hpp"

namespace mastline {

namespace {

std::optional<ChannelNumber> read_number(TableReader& reader, const std::string& text,
                                         const Place& place) {
    const auto number = parse_channel_number(text);
    if (!number)
        reader.fault("lineup.bad-number", place, "'" + text + "' is no channel number",
                     "write a number from 1, with a sub-channel if there is one: 101 or \"5.1\"");
    return number;
}

PictureClass read_picture(TableReader& reader) {
    static constexpr std::string_view words[] = {"radio", "SD", "HD", "UHD"};
    const auto word = reader.text("class");
    if (!word) return PictureClass::hd;
    if (const auto picture = picture_class_named(*word)) return *picture;
    reader.fault("file.unknown-word", reader.place_of("class"),
                 "unknown picture class '" + *word + "'", suggestion(*word, words));
    return PictureClass::hd;
}

void read_source(TableReader& reader, Channel& out) {
    out.service = reader.text("service").value_or("");
    out.input = reader.text("input").value_or("");
    out.source_place = reader.place_of(out.service.empty() ? "input" : "service");
    if (out.service.empty() != out.input.empty()) return;
    const bool none = out.service.empty();
    const std::string who =
        out.number == ChannelNumber{} ? "the channel" : "channel " + to_text(out.number);
    reader.fault(none ? "lineup.no-source" : "lineup.two-sources", reader.place(),
                 who + (none ? " has no source" : " has two sources"),
                 "give it a service or an input, one of the two");
}

void read_wishes(TableReader& reader, Channel& out) {
    for (const auto& [text, place] : reader.labels("apart_from"))
        if (const auto number = read_number(reader, text, place)) out.apart_from.push_back(*number);
    out.apart_place = reader.place_of("apart_from");
    out.card = reader.text("card");
    out.card_place = reader.place_of("card");
    out.group = reader.quantity<Group>("group");
    if (const auto port = reader.integer("port", 1, 65535))
        out.port = UdpPort{static_cast<std::uint16_t>(*port)};
}

void read_channel(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader reader(table, kChannelTable, findings);
    Channel out;
    out.place = reader.place();
    const auto label = reader.label("number");
    const auto number = label ? read_number(reader, *label, reader.place_of("number")) : std::nullopt;
    out.number = number.value_or(ChannelNumber{});
    out.name = reader.text("name").value_or("");
    out.picture = read_picture(reader);
    out.genre = reader.text("genre").value_or("");
    out.is_protected = reader.boolean("protected").value_or(false);
    read_source(reader, out);
    read_wishes(reader, out);
    if (number) venue.channels.push_back(std::move(out));
}

}  // namespace

VenueSection channel_section() { return {"channel", true, {&kChannelTable}, read_channel}; }

}  // namespace mastline
