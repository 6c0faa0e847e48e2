// SPDX-License-Identifier: Apache-2.0
// Meter readings, and the points at which they were taken.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/findings/place.hpp"
#include "mastline/units/frequency.hpp"
#include "mastline/units/level.hpp"
#include "mastline/venue/signal_chain.hpp"

namespace mastline {

// Where and at what frequency the meter was put.
struct MeterPoint {
    PortRef port;
    LaneNumber lane;                     // the conductor of the port
    std::optional<Frequency> frequency;  // none: optical power
    friend auto operator<=>(const MeterPoint&, const MeterPoint&) = default;
};

// "amplifier.out lane 2 at 1178 MHz"
inline std::string to_text(const MeterPoint& point) {
    return to_text(point.port) + " lane " + std::to_string(point.lane.value) +
           (point.frequency ? " at " + to_text(*point.frequency) : " (light)");
}

// One row of the sheet.
struct Reading {
    MeterPoint point;
    std::optional<Level> level;  // none: the meter showed no signal
    std::string time, instrument;
    Place place;
};

// All readings of one point.
struct PointReading {
    MeterPoint point;
    std::optional<Level> level;  // mean of the readings in dBm; none: no signal
    Gain spread;                 // greatest less least
    int count = 1;
    std::string instrument;      // of the first
    Place place;                 // of the first
};

// In order of first appearance. Where some readings of a point found a signal and some did not, the
// greater number holds.
std::vector<PointReading> averaged(const std::vector<Reading>& readings);

}  // namespace mastline
