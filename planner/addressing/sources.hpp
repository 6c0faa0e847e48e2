// SPDX-License-Identifier: Apache-2.0
// The addresses that streams come from.
#pragma once

#include "mastline/addressing/addressing.hpp"
#include "mastline/assignment/assignment.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// Of every card that sends, or waits to send: that it has a source where one is joined, of the same IP
// version as its groups, and one that routers pass on where they have to.
void check_sources(const Venue& venue, const Assignment& assignment, const Addressing& addressing,
                   Findings& findings);

}  // namespace mastline
