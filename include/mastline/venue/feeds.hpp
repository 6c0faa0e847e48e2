// SPDX-License-Identifier: Apache-2.0
// What enters at the roof: feeds, their lanes, and the carriers on them.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/findings/place.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/units/electrical.hpp"
#include "mastline/units/frequency.hpp"
#include "mastline/units/level.hpp"

namespace mastline {

// Position among parallel conductors, from 1; order is kept through every device.
struct LaneNumber {
    int value = 1;
    friend constexpr auto operator<=>(LaneNumber, LaneNumber) = default;
};

struct Band {
    Frequency low, high;
    friend constexpr bool operator==(const Band&, const Band&) = default;
};

enum class FeedKind : std::uint8_t { satellite, antenna };
enum class Polarisation : std::uint8_t { none, horizontal, vertical, left, right };

struct FeedLane {
    LaneNumber lane;
    Band band;                              // as it leaves the feed (satellite: the IF)
    Level level_low, level_high;            // per carrier, at the band edges
    Gain tolerance;                         // plus or minus
    std::optional<Gain> carrier_to_noise;   // at the feed's output
    Polarisation polarisation = Polarisation::none;
    std::optional<Frequency> local_oscillator;  // LNB; the IF is |downlink - local oscillator|
    Place place;
};

// A feed has one port, "out", as wide as it has lanes.
struct Feed {
    std::string name;
    FeedKind kind = FeedKind::satellite;
    std::string position;  // where it stands, in words: "roof, north mast"
    std::vector<FeedLane> lanes;            // 1 to n without a gap once checked
    std::optional<Voltage> supply_minimum;  // DC that its LNB needs at the output port
    std::optional<Current> supply_current;
    LaneNumber power_lane;                  // the conductor that its LNB is fed by
    Place place;
};

// One modulated carrier in a feed lane and the transport stream it brings.
struct Carrier {
    std::string name;
    std::string feed;
    LaneNumber lane;
    Frequency frequency;                    // on the lane (satellite: IF centre)
    std::optional<Frequency> downlink;      // on the air, where the venue file gives it
    std::string system;                     // "dvb-s", "dvb-s2", "dvb-t", "dvb-t2", "dvb-c", "atsc", "isdb-t"
    std::string modulation;                 // "qpsk", "8psk", "64qam", "8vsb"; may be empty
    std::string code_rate;                  // "3/4"; may be empty
    std::optional<SymbolRate> symbol_rate;
    std::optional<Frequency> bandwidth;     // occupied or channel bandwidth
    std::optional<BitRate> transport_rate;  // given, or computed from the modulation
    std::optional<Level> level;             // at the feed's output, where it differs from the lane's
    std::optional<Gain> threshold;          // C/N it needs; from the standard's table otherwise
    bool pilots = false;                    // DVB-S2
    std::string guard;                      // DVB-T: "1/32"
    std::uint16_t transport_stream_id = 0;
    Place place;
};

}  // namespace mastline
