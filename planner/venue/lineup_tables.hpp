// SPDX-License-Identifier: Apache-2.0
// The sections of the lineup room, one per file.
#pragma once

#include "mastline/venue/section.hpp"

namespace mastline {

Section service_section();
Section input_section();
Section channel_section();
Section card_model_section();
Section chassis_section();
Section card_section();
Section protection_section();

}  // namespace mastline
