// SPDX-License-Identifier: Apache-2.0
// The sheet of readings before anything is read: to be filled in and given back.
#pragma once

#include <string>

#include "mastline/signal/signal_plan.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// CSV: every lane of every test point and card input, at its carriers or, where none is in use, at the
// edges of its band, with the level planned, its limits and a blank for the reading. Outputs of
// multiswitches that nothing is plugged into are left out. Where the venue marks no test point, every
// output of every device stands in for one.
std::string readings_template(const Venue& venue, const SignalPlan& plan);

}  // namespace mastline
