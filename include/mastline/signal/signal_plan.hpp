// SPDX-License-Identifier: Apache-2.0
// What the signal rules find: levels at every port and which feed lanes reach which card input.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/venue/signal_chain.hpp"

namespace mastline {

// One lane of one feed: the identity of a signal, whatever conductor it travels on.
struct LaneRef {
    std::string feed;
    LaneNumber lane;
    friend auto operator<=>(const LaneRef&, const LaneRef&) = default;
};

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

struct SignalPlan {
    std::vector<PortLevel> levels;  // along each lane from roof to card
    std::vector<InputReach> reach;
};

}  // namespace mastline
