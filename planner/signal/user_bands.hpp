// SPDX-License-Identifier: Apache-2.0
// User bands of single-cable outputs: who uses which slot.
#pragma once

#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "planner/signal/chain.hpp"

namespace mastline {

// Every card input gets as many user bands as its share of the card's tuners. Slots that the
// engineer gave are kept, the others are dealt in order. More than an output has, a slot used twice
// and a slot that does not exist are errors.
std::vector<UserBandUse> deal_user_bands(const Chain& chain, Findings& findings);

}  // namespace mastline
