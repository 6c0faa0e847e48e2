// SPDX-License-Identifier: Apache-2.0
// Temperature in degrees Celsius; Fahrenheit is accepted.
#pragma once

#include <array>
#include <compare>
#include <string>
#include <string_view>

#include "mastline/units/unit_text.hpp"

namespace mastline {

// A temperature (a point, so there is no addition).
class Temperature {
public:
    constexpr Temperature() = default;
    static constexpr Temperature celsius(double value) { return Temperature(value); }
    constexpr double celsius() const { return celsius_; }
    friend constexpr auto operator<=>(Temperature, Temperature) = default;

private:
    constexpr explicit Temperature(double c) : celsius_(c) {}
    double celsius_ = 20;
};

inline Parsed<Temperature, UnitFault> parse_temperature(std::string_view text) {
    static constexpr std::array<UnitName, 2> units{{{"C", 1, 0}, {"F", 5.0 / 9, -160.0 / 9}}};
    const auto parsed = parse_with_unit(text, "a temperature", units, "35 C");
    if (!parsed) return parsed.error();
    return Temperature::celsius(*parsed);
}

inline std::string to_text(Temperature t) { return number_text(t.celsius(), 2) + " C"; }

}  // namespace mastline
