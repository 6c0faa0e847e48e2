// SPDX-License-Identifier: Apache-2.0
// Two plans of nearly the same venue side by side: what a change does to levels, settings, cards and
// loads.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/plan/plan.hpp"
#include "mastline/signal/lists.hpp"

namespace mastline {

// One side of a comparison is empty where the thing is not there.
template <class State>
struct Change {
    std::optional<State> was, now;
};

struct LevelState {
    Level low, high;            // nominal, at the band edges
    std::optional<Gain> margin; // worst case, where the port has a window
};

struct LevelChange : Change<LevelState> {
    PortRef port;
    LaneRef lane;
};

struct SettingState {
    std::optional<Gain> value;  // none: no pad
    bool given = false;
};

struct SettingChange : Change<SettingState> {
    std::string device;
    SettingKind kind = SettingKind::trim;
    std::optional<LaneNumber> lane;  // none: common to all lanes
};

// Where a channel is received or encoded and what it is sent to; empty texts: nowhere.
struct HomeState {
    std::string card_input;  // "A1.in2"
    std::string address;     // "239.192.1.1:5004"
    friend bool operator==(const HomeState&, const HomeState&) = default;
};

struct ChannelHomeChange : Change<HomeState> {
    std::string channel, name;
    int copy = 1;
};

struct LoadState {
    BitRate worst_mix, worst_failure, limit;
    bool fits() const { return worst_mix <= limit && worst_failure <= limit; }
};

struct LoadChange : Change<LoadState> {
    std::string link, from, to;
};

struct PlanDifference {
    Findings gone, fresh;                  // places apart: lines move when a file is edited
    std::vector<SettingChange> settings;
    std::vector<LevelChange> levels;       // by 0.05 dB or more; the least new margin first
    std::vector<ChannelHomeChange> homes;  // in channel order
    std::vector<LoadChange> loads;         // by 0.05 Mbit/s or more; the fullest first
    Change<Gain> least_margin;
    Change<std::size_t> cards_in_use, unplaced;

    bool nothing() const {
        return gone.empty() && fresh.empty() && settings.empty() && levels.empty() && homes.empty() && loads.empty();
    }
};

PlanDifference plan_difference(const Venue& was_venue, const Plan& was, const Venue& now_venue, const Plan& now);

}  // namespace mastline
