// SPDX-License-Identifier: Apache-2.0
// Levels against windows, and lanes against where they should be.
#pragma once

#include <optional>

#include "mastline/findings/finding.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "planner/signal/chain.hpp"

namespace mastline {

// Worst case to the nearest edge of the port's window over edges and carriers; none without window.
std::optional<Gain> window_margin(const PortLevel& level);

// A finding per lane and window that is not met, with amount and cure.
void judge_windows(const Venue& venue, const Chain& chain, const std::vector<PortLevel>& levels,
                   Findings& findings);

// Lanes that swap places and conductors without signal, each where it first shows.
void judge_wiring(const Chain& chain, Findings& findings);

}  // namespace mastline
