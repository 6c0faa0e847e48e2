// SPDX-License-Identifier: Apache-2.0
// What every link must carry, as scheduled and on the worst day, with any one part failed.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "mastline/addressing/addressing.hpp"
#include "mastline/assignment/assignment.hpp"
#include "mastline/findings/finding.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// The share of time in which streams that vary may add up to more than LinkLoad::nearly_always.
inline constexpr double kExceededAtMost = 0.001;

// A direction of a link, a card's port, or the port of each display of a zone.
enum class LoadOf : std::uint8_t { link, card, display_port };

// One direction of one link (or card, or display port), rates on the wire.
struct LinkLoad {
    LoadOf of = LoadOf::link;
    std::size_t index = 0;  // into Venue::links, cards or zones
    std::string link;   // link name, "card A1", "zone north displays"
    std::string from, to;
    BitRate capacity;           // of the link, bundle members added
    BitRate limit;              // what may be planned on it
    BitRate scheduled;          // each display on its default channel
    BitRate worst_mix;          // displays choose the heaviest distinct channels
    double frames = 0;          // of the worst mix per second, FEC packets included
    BitRate mean;               // of the worst mix, where streams are sent without null packets
    BitRate nearly_always;      // the worst mix stays below it 99.9 % of the time, likewise
    BitRate everything;         // every channel wanted everywhere
    BitRate flooded;            // snooping off or broken by a missing querier
    BitRate worst_failure;      // worst mix in the worst single failure
    BitRate failure_nearly_always;  // it stays below it 99.9 % of the time, likewise
    std::string failure;        // which one: "link core-1/core-2"; empty: none is worse
    std::vector<std::uint32_t> groups;  // carriages (index into Addressing::carriages) in the worst mix
    bool to_multicast_router = false;
    bool blocked = false;       // spanning tree keeps it in reserve
    int members = 1;            // of a bundle
    BitRate fullest_member;     // in the worst mix, or flooded if that is more; one member: the whole worst mix
    std::string member_rule;    // how that was found; empty where there is one member
    bool member_exact = true;   // else 1 in 100 random dealings exceeds it
    // Likewise in the single failure that is worst for it, the loss of a member among them.
    BitRate failure_member;
    std::string failure_member_rule;
    bool failure_member_exact = true;
    std::string member_failure;  // which one; empty: none is worse
};

// What one switch must hold and take in, at worst.
struct SwitchLoad {
    std::string name;
    std::int64_t groups = 0;             // whose members it forwards to
    std::int64_t joins_on_a_port = 0;    // on its fullest port
    std::int64_t queue_frames = 0;       // when the datagrams of all groups of a port coincide
    double reports_after_query = 0;      // per second, spread over the query response time
    double reports_after_power_cut = 0;  // per second, when all displays join at once
};

// A zone that some stream no longer reaches although it is still sent.
struct CutOff {
    std::string failure;  // "switch access-3"
    std::string zone;
};

// Streams that the main part of the network loses because their source is cut off or gone.
struct SourceLoss {
    std::string failure;
    std::vector<std::size_t> carriages;  // index into Addressing::carriages
};

struct NetworkLoad {
    std::vector<LinkLoad> links;  // both directions of each link, then cards, then display ports
    std::vector<SwitchLoad> switches;
    std::vector<CutOff> cut_off;
    std::vector<SourceLoss> source_losses;
    std::string tree_root;        // of the spanning tree; empty where streams are routed
    std::string querier;          // the one elected; empty: none
};

NetworkLoad network_load(const Venue& venue, const Assignment& assignment,
                         const Addressing& addressing, Findings& findings);

}  // namespace mastline
