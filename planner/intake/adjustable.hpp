// SPDX-License-Identifier: Apache-2.0
// What of a venue can be turned, fitted or set: the devices whose edits make sense, with their ranges
// and what holds now.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/plan/plan.hpp"
#include "planner/intake/edit_venue.hpp"

namespace mastline {

struct AdjustRange {
    Gain low, high;
    std::optional<Gain> step;
};

struct Adjustable {
    std::string device;                     // as the files write it: SetTrim and the like name it so
    std::vector<std::string> copies;        // devices of the plan that it is; several change together
    int lanes = 1;
    std::optional<AdjustRange> trim, slope; // none: it has no such range
    std::vector<Gain> trim_now;             // per lane
    bool trim_given = false;
    Gain slope_now;
    bool slope_given = false;
    bool pad_place = false;
    std::vector<std::optional<Gain>> pads_now;  // per lane
    bool pads_given = false;
    std::optional<Gain> loss_now;           // of a fixed pad
};

// In the order of the venue; devices that nothing can be set on are left out. `texts` are the files that
// the venue was read from.
std::vector<Adjustable> adjustable_devices(const FileTexts& texts, const Venue& venue, const Plan& plan);

}  // namespace mastline
