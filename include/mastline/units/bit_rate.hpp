// SPDX-License-Identifier: Apache-2.0
// Bit rate in whole bits per second. Mbit/s means 10^6, never 2^20.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <string>
#include <string_view>

#include "mastline/units/linear.hpp"
#include "mastline/units/unit_text.hpp"

namespace mastline {

// A bit rate; whole bits per second.
class BitRate : public LinearQuantity<BitRate, std::int64_t> {
public:
    constexpr BitRate() = default;
    constexpr explicit BitRate(std::int64_t bits_per_second) : LinearQuantity(bits_per_second) {}
    constexpr std::int64_t bits_per_second() const { return raw_; }
};

inline Parsed<BitRate, UnitFault> parse_bit_rate(std::string_view text) {
    static constexpr std::array<UnitName, 6> units{{
        {"bit/s", 1},
        {"kbit/s", 1e3},
        {"Mbit/s", 1e6},
        {"Gbit/s", 1e9},
        {"Mb/s", 1e6},
        {"Gb/s", 1e9}}};
    const auto parsed = parse_whole_with_unit(text, "a bit rate", units, "8 Mbit/s");
    if (!parsed) return parsed.error();
    return BitRate(*parsed);
}

// "8 Mbit/s", "10 Gbit/s" is "10000 Mbit/s"; exact to the bit per second.
inline std::string to_text(BitRate r) {
    return number_text(static_cast<double>(r.bits_per_second()) / 1e6, 6) + " Mbit/s";
}

constexpr BitRate megabits_per_second(double mbps) {
    return BitRate(static_cast<std::int64_t>(mbps * 1e6 + 0.5));
}

}  // namespace mastline
