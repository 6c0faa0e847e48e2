// SPDX-License-Identifier: Apache-2.0
// From the venue to its signal plan.
#pragma once

#include "mastline/findings/finding.hpp"
#include "mastline/signal/choices.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// REQUIRES: the venue has been checked without errors.
SignalPlan make_signal_plan(const Venue& venue, Findings& findings);

// As make_signal_plan with settings given instead of found.
SignalPlan make_signal_plan(const Venue& venue, const Choices& choices, Findings& findings);

}  // namespace mastline
