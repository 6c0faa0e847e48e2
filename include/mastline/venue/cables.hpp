// SPDX-License-Identifier: Apache-2.0
// What cables lose: named classes with handbook tables, the venue's own, and fibre.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/findings/place.hpp"
#include "mastline/units/electrical.hpp"
#include "mastline/units/frequency.hpp"
#include "mastline/units/length.hpp"
#include "mastline/units/level.hpp"
#include "mastline/units/temperature.hpp"

namespace mastline {

// Loss of 100 m at 20 degrees Celsius.
struct CablePoint {
    Frequency at;
    Gain loss;  // positive
};

// loss(f) per 100 m = root_term * sqrt(f / MHz) + linear_term * f / MHz, neither term negative.
struct CableFit {
    Gain root_term, linear_term;
    Gain worst_error;  // greatest departure from a point it was fitted to
    Frequency low, high;  // between the outer points; outside it is extrapolated
};

enum class RunMedium : std::uint8_t { coax, fibre };

struct Cable {
    std::string name;                 // "rg6"
    RunMedium medium = RunMedium::coax;
    std::vector<CablePoint> points;   // coax
    CableFit fit;
    double tolerance_percent = 0;     // of its loss
    double per_kelvin_percent = 0.2;  // how loss grows with temperature
    std::optional<Resistance> loop_resistance;  // of 100 m, centre and shield
    Gain loss_1310, loss_1550;        // fibre, per km, positive
    Gain connector_loss, splice_loss; // fibre, each, positive
    Place place;
};

// The classes that every venue knows: rg59, rg6, rg11, single-mode.
std::span<const Cable> built_in_cables();

// Least squares over the points with neither term negative; exact through two points where that
// gives terms that are not negative. REQUIRES: a point, all at more than 0 Hz.
CableFit fit_cable(std::span<const CablePoint> points);

// Loss of a length at a frequency and temperature, positive.
Gain cable_loss(const Cable& cable, Frequency f, Length length,
                Temperature t = Temperature::celsius(20));

}  // namespace mastline
