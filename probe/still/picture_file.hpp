// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "mastline/still/still_reply.hpp"

namespace mastline {

// A JPEG file of these pixels. REQUIRES: as parse_still_reply() gives them.
std::string jpeg_of(const StillPixels& pixels);

}  // namespace mastline
