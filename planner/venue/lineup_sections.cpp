// SPDX-License-Identifier: Apache-2.0
#include "planner/venue/lineup_tables.hpp"

namespace mastline {

std::vector<VenueSection> lineup_sections() {
    return {service_section(), input_section(),   channel_section(),   card_model_section(),
            chassis_section(), card_section(),    protection_section()};
}

}  // namespace mastline
