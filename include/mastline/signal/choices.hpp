// SPDX-License-Identifier: Apache-2.0
// How every adjustable device is set: by the engineer or by the planner.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "mastline/venue/venue.hpp"

namespace mastline {

struct FittedPad {
    Gain loss;  // positive
    Gain tolerance;
    friend constexpr bool operator==(const FittedPad&, const FittedPad&) = default;
};

// The settings of one device; what its kind does not have stays empty.
struct DeviceChoice {
    std::vector<Gain> trim;                     // per lane
    Gain slope;
    std::vector<std::optional<FittedPad>> pads; // per lane
    std::optional<std::size_t> tap;             // index into the stocked taps
};

// One per device of the venue, in its order.
using Choices = std::vector<DeviceChoice>;

// As the engineer set them; trim and slope as near 0 dB as their ranges allow, no pad and no stocked
// tap where nothing is set.
Choices given_choices(const Venue& venue);

}  // namespace mastline
