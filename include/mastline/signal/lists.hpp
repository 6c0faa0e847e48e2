// SPDX-License-Identifier: Apache-2.0
// The signal plan as lists for the people who build it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/signal/signal_plan.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// One conductor of one run.
struct WiringLine {
    std::string label;
    PortRef from, to;
    LaneNumber from_lane, to_lane;
    RunMedium medium = RunMedium::coax;
    std::string cable;     // empty: reckoned flat
    Length length;
    std::vector<LaneRef> lanes;  // what it carries; several behind a single-cable output or combiner
    std::optional<LevelRange> sent_low, sent_high;          // at the band edges, of the first lane
    std::optional<LevelRange> received_low, received_high;
    bool optical = false;
};

enum class SettingKind : std::uint8_t { trim, slope, pad, tap };

struct SettingLine {
    std::string device;
    std::optional<LaneNumber> lane;  // none: common to all lanes
    SettingKind kind = SettingKind::trim;
    std::optional<Gain> value;       // pad, tap: loss; none: no pad
    bool given = false;              // by the engineer, else found by the planner
};

struct PartLine {
    std::string what;      // model, or kind where there is none; cable class
    std::string kind;      // "splitter", "coax", "fibre", "pad", "tap"
    int count = 0;
    Length length;         // cables: in all
};

std::vector<WiringLine> wiring_list(const Venue& venue, const SignalPlan& plan);
std::vector<SettingLine> settings_list(const Venue& venue, const SignalPlan& plan);
std::vector<PartLine> parts_list(const Venue& venue, const SignalPlan& plan);

}  // namespace mastline
