// SPDX-License-Identifier: Apache-2.0
// The sections of the lineup room, one per file.
#pragma once

#include "mastline/venue/section.hpp"

namespace mastline {

VenueSection service_section();
VenueSection input_section();
VenueSection channel_section();
VenueSection card_model_section();
VenueSection chassis_section();
VenueSection card_section();
VenueSection protection_section();

}  // namespace mastline
