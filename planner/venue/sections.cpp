// SPDX-License-Identifier: Apache-2.0
#include "planner/venue/sections.hpp"

namespace mastline {

std::vector<VenueSection> all_sections() {
    std::vector<VenueSection> out{venue_section()};
    for (const auto room : {signal_sections, lineup_sections, network_sections})
        for (auto& section : room()) out.push_back(std::move(section));
    return out;
}

}  // namespace mastline
