// SPDX-License-Identifier: Apache-2.0
// Clocks: the 27 MHz and 90 kHz clocks of ISO/IEC 13818-1, and durations as people write them.
#pragma once

#include <array>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <ratio>
#include <string>
#include <string_view>

#include "mastline/units/unit_text.hpp"

namespace mastline {

using PcrTicks = std::chrono::duration<std::int64_t, std::ratio<1, 27'000'000>>;
using PtsTicks = std::chrono::duration<std::int64_t, std::ratio<1, 90'000>>;

// 33 bits of 90 kHz: PTS and DTS wrap here; the PCR wraps at 300 times as many ticks.
inline constexpr PtsTicks kPtsWrap{std::int64_t{1} << 33};
inline constexpr PcrTicks kPcrWrap{(std::int64_t{1} << 33) * 300};

// A span of time; whole nanoseconds.
using Duration = std::chrono::nanoseconds;

inline Parsed<Duration, UnitFault> parse_duration(std::string_view text) {
    static constexpr std::array<UnitName, 8> units{{{"ns", 1},
                                                    {"us", 1e3},
                                                    {"ms", 1e6},
                                                    {"s", 1e9},
                                                    {"min", 60e9},
                                                    {"h", 3600e9},
                                                    {"day", 86400e9},
                                                    {"days", 86400e9}}};
    const auto parsed = parse_whole_with_unit(text, "a duration", units, "10 s");
    if (!parsed) return parsed.error();
    return Duration(*parsed);
}

// Seconds with up to nine decimals: "0.04 s".
inline std::string to_text(Duration d) {
    return number_text(static_cast<double>(d.count()) / 1e9, 9) + " s";
}

}  // namespace mastline
