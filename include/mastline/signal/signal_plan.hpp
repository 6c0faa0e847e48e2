// SPDX-License-Identifier: Apache-2.0
// What the signal rules find: levels at every port and which feed lanes reach which card input.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/signal/choices.hpp"
#include "mastline/signal/dc_power.hpp"
#include "mastline/signal/lane_ref.hpp"
#include "mastline/venue/signal_chain.hpp"

namespace mastline {

// A level at one frequency with its limits.
struct LevelRange {
    Frequency at;
    Level nominal;
    Level worst_low, worst_high;  // all tolerances against us
    Level rss_low, rss_high;      // tolerances as root-sum-square
};

// One lane's signal at one conductor of one port.
struct PortLevel {
    PortRef port;
    LaneNumber conductor;  // position at the port; differs from lane.lane where lanes are crossed
    LaneRef lane;
    bool optical = false;                // light: the levels are optical power
    bool user_bands = false;             // behind a single-cable output: edges are user bands
    LevelRange low, high;                // at the band edges
    std::vector<LevelRange> carriers;    // at each carrier in use, as `carrier_names`
    std::vector<std::string> carrier_names;
    std::optional<Window> window;        // of the port, if it has one
    std::optional<Gain> margin;          // worst case to the nearest window edge; negative: outside
};

// What a card input can receive.
struct ReachedLane {
    LaneRef lane;
    bool in_window = true;
    Gain margin;
    std::vector<std::string> parts;  // "lane:west/1", "device:...", from roof to card
};

struct InputReach {
    PortRef input;  // card and "in1"
    std::vector<ReachedLane> lanes;
};

// Carrier-to-noise ratio of one carrier at a card input, the card's own noise included.
struct CarrierNoise {
    PortRef input;
    LaneRef lane;
    std::string carrier;
    Gain carrier_to_noise;
    std::optional<Gain> threshold, margin;
};

// What one conductor of an amplifier puts out.
struct AmplifierLoad {
    PortRef output;
    LaneNumber conductor;
    int carriers = 0;        // in use on this conductor
    Level total_power;       // of the carriers, nominal
    Level highest, limit;    // greatest level of a carrier, worst case; what is allowed
    Gain margin;
};

// One user band of one single-cable output in use by one card input.
struct UserBandUse {
    PortRef output;
    int slot = 1;            // from 1
    Frequency centre;
    PortRef input;
};

struct SignalPlan {
    Choices choices;                // settings of every device, given or found
    std::vector<PortLevel> levels;  // along each lane from roof to card
    std::vector<InputReach> reach;
    std::vector<CarrierNoise> noise;
    std::vector<AmplifierLoad> amplifiers;
    std::vector<UserBandUse> user_bands;
    std::vector<PowerSupply> power;
};

}  // namespace mastline
