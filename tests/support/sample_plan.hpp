// SPDX-License-Identifier: Apache-2.0
// An invented venue of real size with a plan made by hand, for tests of what shows plans: `wings`
// times one roof site, one chassis pair, one network and sixty channels.
#pragma once

#include "mastline/plan/plan.hpp"

namespace mastline::sample {

struct VenueAndPlan {
    Venue venue;
    Plan plan;
};

// About 60 channels, 40 devices, 14 switches and 1,000 displays per wing; `lanes` from the dish.
VenueAndPlan make(int wings = 1, int lanes = 4, int channels = 60);

// A part with nothing in it but a name.
VenueAndPlan empty();

}  // namespace mastline::sample
