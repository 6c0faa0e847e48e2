// SPDX-License-Identifier: Apache-2.0
// [[card]] and [protection].
#include "mastline/text/table_reader.hpp"
#include "mastline/venue/venue.hpp"
#include "planner/venue/lineup_tables.hpp"
#include "planner/venue/read_rate.hpp"
#include "planner/venue/sender_address.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 11> kCardKeys{{
    {"name", "text", true, "Key, and the device name at which runs end (\"A1.in1\"); unique."},
    {"model", "name of a card_model", true, "What it is."},
    {"chassis", "name of a chassis", false, "What it sits in; default: it stands alone."},
    {"slot", "whole number", false, "Its place in the chassis; default: any free one."},
    {"state", "one of: installed, store, buy", false,
     "There already, in the store, or may be bought; default installed."},
    {"count", "whole number", false,
     "So many of them, named name-1, name-2, ... (each on its own if 1); default 1."},
    {"licences", "whole number", false, "Channels it is licensed for; default: as its model."},
    {"wired_like", "name of a card", false,
     "Card whose inputs' lanes would reach this one too; for cards that are not wired yet."},
    {"source", "IP address", false, "Address that it sends from; default: its chassis's."},
    {"attached_to", "name of a switch", false, "Switch that it is plugged into; default: its chassis's."},
    {"port_speed", "bit rate", false, "Speed of that connection; default: its chassis's."},
}};
constexpr TableDoc kCardTable{"[[card]]", "A card that is there, in the store, or may be bought.", kCardKeys};

constexpr std::array<std::pair<std::string_view, CardState>, 3> kStates{
    {{"installed", CardState::installed}, {"store", CardState::store}, {"buy", CardState::buy}}};

void add_copies(TableReader& reader, const Card& card, Venue& venue) {
    const auto count = reader.integer("count", 1, 1000).value_or(1);
    if (count > 1 && card.slot > 0)
        reader.fault("lineup.slot-of-many", reader.place_of("slot"),
                     std::to_string(count) + " cards cannot share slot " + std::to_string(card.slot),
                     "leave the slot out, or write one [[card]] for each");
    for (std::int64_t n = 1; n <= count; ++n) {
        Card copy = card;
        if (count > 1) copy.name += "-" + std::to_string(n);
        venue.cards.push_back(std::move(copy));
    }
}

void read_card(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader reader(table, kCardTable, findings);
    Card out;
    out.place = reader.place();
    out.name = reader.text("name").value_or("");
    out.model = reader.text("model").value_or("");
    out.model_place = reader.place_of("model");
    out.chassis = reader.text("chassis").value_or("");
    out.chassis_place = reader.place_of("chassis");
    out.slot = static_cast<int>(reader.integer("slot", 1, 1000).value_or(0));
    out.slot_place = reader.place_of("slot");
    out.state = reader.choice<CardState>("state", "state of a card", kStates).value_or(CardState::installed);
    out.licences = static_cast<int>(reader.integer("licences", 0, 10'000).value_or(-1));
    out.wired_like = reader.text("wired_like").value_or("");
    out.wired_like_place = reader.place_of("wired_like");
    out.source = read_sender_address(reader, "source", "lineup.bad-source-address", "a card",
                                     "give the address that its streams come from");
    out.attached_to = reader.text("attached_to").value_or("");
    out.port_speed = read_rate(reader, "port_speed");
    add_copies(reader, out, venue);
}

constexpr std::array<KeyDoc, 5> kProtectionKeys{{
    {"mode", "one of: reserve, twice", false,
     "Protected channels have room kept on other cards, or are carried twice; default reserve."},
    {"second", "one of: own-group, same-group", false,
     "With mode twice, where the second carriage goes: own-group (default): to a group of its own, all the time. "
     "same-group: to the group and port of the first, from a card that joins it to listen and sends once it hears the "
     "first no more (its card, its switch or the way from there is lost)."},
    {"scope", "one of: card, chassis", false, "What may be lost; default card."},
    {"spread", "list of text", false, "Genres whose channels must not all be on one card."},
    {"prefer", "one of: fewest, cheapest", false,
     "Save cards (bought ones first, then those in use), or the weight of bought cards; default fewest."},
}};
constexpr TableDoc kProtectionTable{"[protection]", "How channels survive a loss, and which cards are preferred.",
                                    kProtectionKeys};

constexpr std::array<std::pair<std::string_view, ProtectionMode>, 2> kModes{
    {{"reserve", ProtectionMode::reserve}, {"twice", ProtectionMode::carried_twice}}};
constexpr std::array<std::pair<std::string_view, SecondCarriage>, 2> kSeconds{
    {{"own-group", SecondCarriage::own_group}, {"same-group", SecondCarriage::same_group}}};
constexpr std::array<std::pair<std::string_view, ProtectionScope>, 2> kScopes{
    {{"card", ProtectionScope::card}, {"chassis", ProtectionScope::chassis}}};
constexpr std::array<std::pair<std::string_view, CardPreference>, 2> kPreferences{
    {{"fewest", CardPreference::fewest}, {"cheapest", CardPreference::cheapest}}};

void read_second(TableReader& reader, Protection& out) {
    const auto second = reader.choice<SecondCarriage>("second", "place of the second carriage", kSeconds);
    if (!second) return;
    out.second = *second;
    if (out.mode == ProtectionMode::reserve)
        reader.fault("lineup.second-without-twice", reader.place_of("second"),
                     "nothing is carried twice, so there is no second carriage", "set mode = \"twice\", or leave second out");
}

void read_protection(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader reader(table, kProtectionTable, findings);
    Protection& out = venue.protection;
    out.place = reader.place();
    if (const auto mode = reader.choice<ProtectionMode>("mode", "protection mode", kModes)) out.mode = *mode;
    read_second(reader, out);
    if (const auto scope = reader.choice<ProtectionScope>("scope", "protection scope", kScopes)) out.scope = *scope;
    if (const auto prefer = reader.choice<CardPreference>("prefer", "preference", kPreferences)) out.prefer = *prefer;
    for (auto& [genre, place] : reader.texts("spread")) out.spread.push_back(std::move(genre));
}

}  // namespace

VenueSection card_section() { return {"card", true, {&kCardTable}, read_card}; }

VenueSection protection_section() { return {"protection", false, {&kProtectionTable}, read_protection}; }

}  // namespace mastline
