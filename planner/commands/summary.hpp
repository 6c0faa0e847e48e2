// SPDX-License-Identifier: Apache-2.0
// The plan in one line, and as the figures that programs read.
#pragma once

#include <optional>
#include <string>

#include "mastline/plan/plan.hpp"

namespace mastline {

struct LeastMargin {
    Gain margin;
    PortRef port;
    LaneRef lane;
};

struct PlanSummary {
    std::size_t channels = 0, placed_channels = 0;
    std::size_t cards = 0, cards_in_use = 0, cards_kept_idle = 0;
    std::size_t groups = 0;
    std::size_t links = 0;
    std::optional<LeastMargin> least_margin;  // none where no port has a window
};

PlanSummary summary_of(const Venue& venue, const Plan& plan);

// "60 channels on 14 of 16 cards, 60 groups, 14 links; least margin 3.2 dB at ms-1.in, lane west/1"
std::string to_text(const PlanSummary& summary);

}  // namespace mastline
