// SPDX-License-Identifier: Apache-2.0
// How far PCR samples lie off a straight line.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

namespace mastline {

// One PCR against another clock: x by the other clock (packets, or nanoseconds), y in 27 MHz ticks.
struct ClockSample {
    double x = 0;
    double y = 0;
};

struct ClockFit {
    double slope = 0;                // ticks per unit of x
    std::vector<double> deviations;  // of each sample from the line, in ticks
    double peak_to_peak = 0;         // in ticks
};

// The line that most samples agree on: a few wild ones do not draw it to them. None: fewer than
// three samples, or all at one x.
std::optional<ClockFit> fit_clock(const std::vector<ClockSample>& samples);

}  // namespace mastline
