// SPDX-License-Identifier: Apache-2.0
// The venue's network with everything looked up once: what the load rules work on.
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

#include "planner/network/carriage_table.hpp"
#include "planner/network/heaviest.hpp"
#include "planner/network/load_rules.hpp"
#include "planner/network/topology.hpp"

namespace mastline {

// Where a source enters, and where the card waits that sends its streams to the same groups once it hears
// them no more; kNone: nowhere.
struct SourcePlace {
    SwitchIndex enters = kNone, waits = kNone;
};

// What is carried twice in groups of its own and joined all the time: where the first no longer comes, the
// second is joined.
struct SecondCopy {
    CarriageIndex first = kNone, second = kNone;
    std::vector<SwitchIndex> joined_at;
};

struct Site {
    // `venue` must outlive it.
    Site(const Venue& venue, std::vector<NetworkCarriage> carriages);
    Site(const Site&) = delete;  // its parts refer to each other
    Site& operator=(const Site&) = delete;

    // Streams that fill links of `l`'s kind carry a tag.
    bool tagged(LinkIndex l) const { return carries_tags[l] != 0; }
    // Likewise the ports of a zone's displays.
    bool tagged_port(std::size_t zone) const {
        return venue.zones[zone].tagged && venue.addressing.vlan.has_value();
    }
    // The carriage that displays take for a channel number; kNone when it is not sent.
    CarriageIndex carriage_of(const std::string& number) const;

    const Venue& venue;
    // Numbered along the tree: what is near in the network is near in memory, where failures touch it.
    // Those with one link come last: few failures ask for them.
    std::vector<const Switch*> switches;
    std::vector<SwitchIndex> numbers;  // of the switches of the venue file, in its order
    std::vector<NetworkCarriage> carriages;
    Topology topology;
    Heaviest heaviest;
    LoadRules rules;
    std::vector<Reach> own;        // by switch: its zones, sources and routers, what waiting cards listen to; no querier
    std::vector<JoinCounts> shown; // by switch: what its displays show as scheduled, and recorded
    std::vector<SwitchIndex> zone_at;  // by zone
    std::vector<SwitchIndex> card_at;  // by card; kNone where it is plugged into none
    std::vector<char> carries_tags;    // by link
    std::map<std::string, CarriageIndex> by_number;
    std::vector<std::vector<CarriageIndex>> of_card;  // by card: those that enter somewhere
    std::vector<SourcePlace> places;   // by source
    std::vector<SecondCopy> seconds;
};

// The defaults that some display of the zone shows: dealt in turn, so that with fewer displays than
// defaults the last are not shown.
std::span<const ChannelRef> shown_defaults(const Zone& zone);

}  // namespace mastline
