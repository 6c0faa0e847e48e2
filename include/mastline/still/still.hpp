// SPDX-License-Identifier: Apache-2.0
// A picture of what a channel shows, or why there is none.
#pragma once

#include <optional>
#include <string>

#include "mastline/units/ticks.hpp"

namespace mastline {

struct Still {
    static constexpr unsigned kMostWidth = 256, kMostHeight = 144;  // pixels

    std::string jpeg;              // a whole JPEG file; empty: none
    unsigned width = 0, height = 0;  // pixels, square
    std::optional<Duration> at;    // when its first packet arrived (Unix epoch); none: without times
    std::string lack;              // why there is none; empty where there is
    bool operator==(const Still&) const = default;
};

}  // namespace mastline
