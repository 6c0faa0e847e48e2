// SPDX-License-Identifier: Apache-2.0
// How often something happened in a stream, when, and at which packets.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "mastline/units/ticks.hpp"

namespace mastline {

struct Occurrences {
    // Enough to find the place in a capture; more would only grow with the length of a watch.
    static constexpr std::size_t kPacketsKept = 8;

    std::uint64_t count = 0;
    std::optional<Duration> first;       // none while the stream has no time base
    std::optional<Duration> last;
    std::vector<std::uint64_t> packets;  // index of the first few, counted from 0 over the flow

    bool operator==(const Occurrences&) const = default;
};

}  // namespace mastline
