// SPDX-License-Identifier: Apache-2.0
// When packets came: a straight line from packet index to time, good for one stretch of packets.
#pragma once

#include <cstdint>

#include "mastline/units/ticks.hpp"

namespace mastline {

struct TimeLine {
    bool known = false;
    bool drawn_on = false;     // beyond what was measured: not good enough to miss something by
    std::int64_t index = 0;    // of the packet that came at `start`
    Duration start{};
    Duration span{};           // that `packets` packets take; zero: all came at once
    std::int64_t packets = 1;

    Duration at(std::uint64_t packet) const {
        return start + Duration((static_cast<std::int64_t>(packet) - index) * span.count() / packets);
    }
};

}  // namespace mastline
