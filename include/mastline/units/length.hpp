// SPDX-License-Identifier: Apache-2.0
// Length in metres; feet are accepted.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <string>
#include <string_view>

#include "mastline/units/linear.hpp"
#include "mastline/units/unit_text.hpp"

namespace mastline {

// A length; metres. One foot is exactly 0.3048 m.
class Length : public LinearQuantity<Length, double> {
public:
    constexpr Length() = default;
    constexpr explicit Length(double metres) : LinearQuantity(metres) {}
    constexpr double metres() const { return raw_; }
};

inline Parsed<Length, UnitFault> parse_length(std::string_view text) {
    static constexpr std::array<UnitName, 4> units{{
        {"m", 1},
        {"ft", 0.3048},
        {"km", 1000},
        {"cm", 0.01}}};
    const auto parsed = parse_with_unit(text, "a length", units, "100 ft");
    if (!parsed) return parsed.error();
    return Length(*parsed);
}

inline std::string to_text(Length l) { return number_text(l.metres(), 4) + " m"; }

constexpr double feet(Length l) { return l.metres() / 0.3048; }
constexpr Length length_of_feet(double ft) { return Length(ft * 0.3048); }

}  // namespace mastline
