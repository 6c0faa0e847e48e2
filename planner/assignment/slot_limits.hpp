// SPDX-License-Identifier: Apache-2.0
// Which cards to come can be in a chassis together.
#pragma once

#include <vector>

#include "mastline/assignment/model.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// Limits on the number of the chassis's cards that are not installed yet; bins are cards of the venue.
// A choice of cards keeps to them exactly when each can have a slot of its own, slots that only take
// tuner or encoder cards, named slots and those of installed cards considered (P. Hall, "On
// representatives of subsets", Journal of the London Mathematical Society 10, 1935).
std::vector<packing::Limit> slot_limits(const Venue& venue, const Chassis& chassis);

}  // namespace mastline
