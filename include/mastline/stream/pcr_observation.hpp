// SPDX-License-Identifier: Apache-2.0
// What the program clock reference of one PID says.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "mastline/mpeg/pid.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

// A rate over many intervals.
struct RateObservation {
    BitRate min, mean, max;
    bool operator==(const RateObservation&) const = default;
};

// Peak-to-peak deviation of the PCR from a clock: from arrival where packets are stamped, from the
// byte position where they are not (then the stream must have a constant rate to be judged).
struct JitterObservation {
    bool judged = false;
    std::string reason;     // why not judged
    Duration overall{};     // drift included
    Duration drift_free{};  // after the straight line through all samples is taken away
    double drift_ppm = 0;   // of the sender's clock against ours; 0 where byte position is the clock
    bool operator==(const JitterObservation&) const = default;
};

struct PcrObservation {
    Pid pid;
    std::uint64_t count = 0;
    std::optional<Duration> min_interval, mean_interval, max_interval;
    std::uint64_t intervals_above_40_ms = 0;     // recommended by TS 101 154
    std::uint64_t intervals_above_100_ms = 0;    // ISO/IEC 13818-1, 2.7.2
    std::uint64_t signalled_discontinuities = 0; // discontinuity_indicator set
    std::uint64_t discontinuities = 0;           // step outside 0 to 100 ms, not signalled
    std::uint64_t wraps = 0;
    std::optional<RateObservation> rate;         // transport rate between successive PCRs
    JitterObservation jitter;
    bool operator==(const PcrObservation&) const = default;
};

}  // namespace mastline
