// SPDX-License-Identifier: Apache-2.0
// Carriers against each other, against what they carry, and against the slope that cards take.
#pragma once

#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "planner/signal/levels.hpp"

namespace mastline {

// Two carriers on one conductor whose symbol bands overlap are an error, those whose roll-offs do a
// warning; each pair once.
void judge_overlaps(const Chain& chain, const Levels& levels, Findings& findings);

// The services of a carrier must fit into its transport rate.
void judge_capacity(const Venue& venue, Findings& findings);

// Difference between the carriers of a lane at a card input (band edges where fewer than two are
// known), nominal.
void judge_slope(const Venue& venue, const std::vector<PortLevel>& levels, Findings& findings);

// A cable reckoned beyond its points is a note.
void note_extrapolation(const Chain& chain, const Levels& levels, Findings& findings);

}  // namespace mastline
