// SPDX-License-Identifier: Apache-2.0
// What every link must carry.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "mastline/units/bit_rate.hpp"

namespace mastline {

// One direction of one link (or card, or display port), rates on the wire.
struct LinkLoad {
    std::string link;   // link name, "card A1", "zone north displays"
    std::string from, to;
    BitRate capacity;           // of the link, bundle members added
    BitRate limit;              // what may be planned on it
    BitRate scheduled;          // each display on its default channel
    BitRate worst_mix;          // displays choose the heaviest distinct channels
    BitRate everything;         // every channel wanted everywhere
    BitRate flooded;            // snooping off or broken by a missing querier
    BitRate worst_failure;      // worst mix in the worst single failure
    std::string failure;        // which one: "link core-1/core-2"; empty: none is worse
    std::vector<std::size_t> groups;  // carriages (index into Addressing::carriages) in the worst mix
    bool to_multicast_router = false;
};

struct CutOff {
    std::string failure;  // "switch access-3"
    std::string zone;
};

struct NetworkLoad {
    std::vector<LinkLoad> links;
    std::vector<CutOff> cut_off;
};

}  // namespace mastline
