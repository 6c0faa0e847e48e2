// SPDX-License-Identifier: Apache-2.0
// Every section that a venue file may hold.
#pragma once

#include <vector>

#include "mastline/venue/section.hpp"

namespace mastline {

// [venue], then the sections of each room, in the order of the reference page.
std::vector<VenueSection> all_sections();

VenueSection venue_section();

}  // namespace mastline
