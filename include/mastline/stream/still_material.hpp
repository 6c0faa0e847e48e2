// SPDX-License-Identifier: Apache-2.0
// What one picture of a channel can be decoded from.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "mastline/units/ticks.hpp"

namespace mastline {

// The beginning of one access point of a video stream, as it was carried: bytes of the elementary stream.
struct StillMaterial {
    std::string kind;              // as kind_of() names it: "h264"
    std::optional<Duration> at;    // arrival of its first packet (Unix epoch); none: without times
    std::vector<std::byte> bytes;
    std::string lack;              // why there is none; empty where there is
    bool operator==(const StillMaterial&) const = default;
};

}  // namespace mastline
