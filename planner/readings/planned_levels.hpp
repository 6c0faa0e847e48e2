// SPDX-License-Identifier: Apache-2.0
// What the plan says at a point of the meter.
#pragma once

#include <optional>
#include <vector>

#include "mastline/readings/reading.hpp"
#include "mastline/signal/signal_plan.hpp"

namespace mastline {

// The plan's levels at one conductor of a port, and of them the one that a frequency belongs to.
class PlannedLevels {
public:
    // REQUIRES: the plan outlives this.
    explicit PlannedLevels(const SignalPlan& plan);

    std::vector<const PortLevel*> at(const PortRef& port, LaneNumber lane) const;
    // Null where no signal of that frequency comes; for light the frequency does not matter.
    const PortLevel* at(const MeterPoint& point) const;
    // The level planned at a band edge or carrier; none between them.
    static std::optional<LevelRange> range(const PortLevel& level, const std::optional<Frequency>& at);

private:
    const SignalPlan& plan_;
};

}  // namespace mastline
