// SPDX-License-Identifier: Apache-2.0
// The sheet of readings before anything is read: to be filled in and given back.
#pragma once

#include <string>
#include <vector>

#include "mastline/signal/signal_plan.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// One level to be read: of a lane at a port, or of the user bands that all lanes share behind a single-cable output.
struct BlankReading {
    PortRef port;
    LaneNumber conductor;
    std::string signal;    // "west/1", "user band"
    bool optical = false;  // light, which is read once, whatever it carries
    LevelRange expected;   // and the limits of its worst cases
};

// Every lane of every test point and card input, at its carriers or, where none is in use, at the edges of its
// band. Outputs of multiswitches that nothing is plugged into are left out. Where the venue marks no test point,
// every output of every device stands in for one.
std::vector<BlankReading> blank_readings(const Venue& venue, const SignalPlan& plan);

// They as CSV: with the level planned, its limits and a blank for the reading.
std::string readings_template(const Venue& venue, const SignalPlan& plan);

}  // namespace mastline
