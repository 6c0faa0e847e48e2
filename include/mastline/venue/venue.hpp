// SPDX-License-Identifier: Apache-2.0
// Everything known about one site, as the venue files say it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/venue/cards.hpp"
#include "mastline/venue/channels.hpp"
#include "mastline/venue/feeds.hpp"
#include "mastline/venue/named_file.hpp"
#include "mastline/venue/network.hpp"
#include "mastline/venue/signal_chain.hpp"

namespace mastline {

enum class ProtectionMode : std::uint8_t { reserve, carried_twice };
// Where a second carriage goes: to a group of its own, or to the group of the first, from a card that is
// silent until the first is lost.
enum class SecondCarriage : std::uint8_t { own_group, same_group };
enum class ProtectionScope : std::uint8_t { card, chassis };

// Whether cards are saved (bought ones first, then those in use) or money (weight of bought cards).
enum class CardPreference : std::uint8_t { fewest, cheapest };

// How channels marked `protected` survive a loss, and how channels are spread over cards.
struct Protection {
    ProtectionMode mode = ProtectionMode::reserve;
    SecondCarriage second = SecondCarriage::own_group;  // where carried twice
    ProtectionScope scope = ProtectionScope::card;
    CardPreference prefer = CardPreference::fewest;
    std::vector<std::string> spread;  // genre tags whose channels must not all share one card
    Place place;
};

// How far a stream's measured rate may be off the planned one.
struct RateWindow {
    double share = 0.05;
};

struct Venue {
    std::string name;
    std::string kind;  // "arena", "hotel": free words
    Place place;
    std::vector<NamedFile> includes;
    std::optional<NamedFile> channel_list;
    RateWindow rate_window;
    std::vector<Feed> feeds;
    std::vector<Carrier> carriers;
    std::vector<Cable> cables;         // the venue's own; the built-in ones stand apart
    std::vector<DeviceModel> models;
    std::vector<Device> devices;
    std::vector<Run> runs;
    Stock stock;
    Climate climate;
    std::vector<Service> services;
    std::vector<HouseInput> inputs;
    std::vector<Channel> channels;  // in order of number
    std::vector<CardModel> card_models;
    std::vector<Chassis> chassis;
    std::vector<Card> cards;
    Protection protection;
    NetworkPolicy network;
    AddressingPolicy addressing;
    std::vector<Occupied> occupied;
    std::vector<Switch> switches;
    std::vector<Link> links;
    std::vector<Zone> zones;
};

}  // namespace mastline
