// SPDX-License-Identifier: Apache-2.0
// What the measuring programs share: processor time, long streams, and the lines they print.
#pragma once

#include <time.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdio>
#include <functional>

#include "mastline/bytes/byte_reader.hpp"
#include "support/stream_reading.hpp"

namespace mastline::bench {

// Processor time of this program: what else the machine does does not count.
inline double now_in_seconds() {
    timespec t{};
    ::clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_nsec) / 1e9;
}

// The works take turns, so that a change of the machine's pace meets all alike; the best of each.
inline std::vector<double> seconds_of(const std::vector<std::function<void()>>& works, int rounds) {
    std::vector<double> best(works.size(), 1e9);
    for (int round = 0; round < rounds; ++round)
        for (std::size_t i = 0; i < works.size(); ++i) {
            const double begin = now_in_seconds();
            works[i]();
            best[i] = std::min(best[i], now_in_seconds() - begin);
        }
    return best;
}

// The file over and over, each time with its continuity counters carried on, up to `most` bytes.
inline test::Bytes repeated(const test::Bytes& once, std::size_t most) {
    test::Bytes out;
    std::array<unsigned, 0x2000> counters{};
    while (!once.empty() && out.size() + once.size() <= most) {
        const std::size_t from = out.size();
        out.insert(out.end(), once.begin(), once.end());
        for (std::size_t at = from; at + 188 <= out.size(); at += 188) {
            const unsigned pid = read_u16(out, at + 1) & 0x1FFFU;
            const unsigned flags = read_u8(out, at + 3);
            if ((flags & 0x10U) != 0) ++counters[pid];
            out[at + 3] = static_cast<std::byte>((flags & 0xF0U) | (counters[pid] & 15U));
        }
    }
    return out;
}

// One part of a figure, without a goal.
inline void part(const char* name, double value, const char* unit) {
    std::printf("%s\t%.3f\t%s\t-\n", name, value, unit);
}

// Returns whether the goal is met.
inline bool at_least(const char* name, double value, const char* unit, double goal) {
    std::printf("%s\t%.3f\t%s\t>=%g\n", name, value, unit, goal);
    return value >= goal;
}

inline bool at_most(const char* name, double value, const char* unit, double goal) {
    std::printf("%s\t%.3f\t%s\t<=%g\n", name, value, unit, goal);
    return value <= goal;
}

}  // namespace mastline::bench
