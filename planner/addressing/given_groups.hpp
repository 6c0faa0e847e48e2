// SPDX-License-Identifier: Apache-2.0
// What the venue file itself says of groups, held against the rules: the ranges, and groups pinned to
// channels.
#pragma once

#include "mastline/findings/finding.hpp"
#include "mastline/venue/venue.hpp"
#include "planner/addressing/group_pool.hpp"

namespace mastline {

// A range is at fault where a rule is broken that honest ranges do not touch, or everywhere.
void check_ranges(const AddressingPolicy& policy, Findings& findings);

// Takes every pinned group out of the pool. Findings: rules that one breaks, and Ethernet addresses
// that are another's.
void take_pinned(const Venue& venue, GroupPool& pool, Findings& findings);

}  // namespace mastline
