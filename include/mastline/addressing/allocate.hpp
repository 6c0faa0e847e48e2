// SPDX-License-Identifier: Apache-2.0
// Gives every carriage a group that no switch on the site confuses with another, and a port.
#pragma once

#include "mastline/addressing/addressing.hpp"
#include "mastline/assignment/assignment.hpp"
#include "mastline/findings/finding.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

Addressing allocate(const Venue& venue, const Assignment& assignment, Findings& findings);

// As above, after an earlier plan: a carriage keeps its group while the policy allows it, and a
// freed group rests for the policy's time.
Addressing allocate(const Venue& venue, const Assignment& assignment, const AddressHistory& history,
                    Findings& findings);

// The greatest number of groups that the policy's ranges can give at once, each with its own
// Ethernet address, none reserved, ruled out, or confused with an occupied one. Counted by
// arithmetic on runs: ranges of any size cost the same.
std::uint64_t group_capacity(const Venue& venue);

}  // namespace mastline
