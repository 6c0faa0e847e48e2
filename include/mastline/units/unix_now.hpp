// SPDX-License-Identifier: Apache-2.0
// The time of day as the kernel stamps datagrams.
#pragma once

#include <chrono>

#include "mastline/units/ticks.hpp"

namespace mastline {

// Since the start of 1970.
inline Duration unix_now() {
    return std::chrono::duration_cast<Duration>(std::chrono::system_clock::now().time_since_epoch());
}

}  // namespace mastline
