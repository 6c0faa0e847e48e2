// SPDX-License-Identifier: Apache-2.0
// The timers of a network in the units that RFC 9166 gives them; none where it has no value.
#pragma once

#include <cstdint>
#include <optional>

#include "mastline/venue/network.hpp"

namespace mastline {

// `time` in whole units between `least` and `most`.
constexpr std::optional<std::int64_t> whole_units(Duration time, Duration unit, std::int64_t least,
                                                  std::int64_t most) {
    if (time % unit != Duration::zero()) return std::nullopt;
    const std::int64_t count = time / unit;
    return count >= least && count <= most ? std::optional(count) : std::nullopt;
}

// uint16, 10 to 10230.
constexpr std::optional<std::int64_t> last_member_deciseconds(const NetworkPolicy& n) {
    return whole_units(n.last_member_query_interval, std::chrono::milliseconds(100), 10, 10230);
}

// uint16.
constexpr std::optional<std::int64_t> query_interval_seconds(const NetworkPolicy& n) {
    return whole_units(n.query_interval, std::chrono::seconds(1), 0, 65535);
}

// uint16.
constexpr std::optional<std::int64_t> query_response_deciseconds(const NetworkPolicy& n) {
    return whole_units(n.query_response, std::chrono::milliseconds(100), 0, 65535);
}

}  // namespace mastline
