// SPDX-License-Identifier: Apache-2.0
// Voltage, current, resistance, power.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <string>
#include <string_view>

#include "mastline/units/linear.hpp"
#include "mastline/units/unit_text.hpp"

namespace mastline {

// A voltage; volts.
class Voltage : public LinearQuantity<Voltage, double> {
public:
    constexpr Voltage() = default;
    constexpr explicit Voltage(double volts) : LinearQuantity(volts) {}
    constexpr double volts() const { return raw_; }
};

inline Parsed<Voltage, UnitFault> parse_voltage(std::string_view text) {
    static constexpr std::array<UnitName, 2> units{{
        {"V", 1},
        {"mV", 1e-3}}};
    const auto parsed = parse_with_unit(text, "a voltage", units, "18 V");
    if (!parsed) return parsed.error();
    return Voltage(*parsed);
}

inline std::string to_text(Voltage v) { return number_text(v.volts(), 3) + " V"; }


// A current; amperes.
class Current : public LinearQuantity<Current, double> {
public:
    constexpr Current() = default;
    constexpr explicit Current(double amperes) : LinearQuantity(amperes) {}
    constexpr double amperes() const { return raw_; }
};

inline Parsed<Current, UnitFault> parse_current(std::string_view text) {
    static constexpr std::array<UnitName, 2> units{{
        {"A", 1},
        {"mA", 1e-3}}};
    const auto parsed = parse_with_unit(text, "a current", units, "250 mA");
    if (!parsed) return parsed.error();
    return Current(*parsed);
}

inline std::string to_text(Current i) { return number_text(i.amperes() * 1e3, 3) + " mA"; }


// A resistance; ohms.
class Resistance : public LinearQuantity<Resistance, double> {
public:
    constexpr Resistance() = default;
    constexpr explicit Resistance(double ohms) : LinearQuantity(ohms) {}
    constexpr double ohms() const { return raw_; }
};

inline Parsed<Resistance, UnitFault> parse_resistance(std::string_view text) {
    static constexpr std::array<UnitName, 3> units{{
        {"ohm", 1},
        {"mohm", 1e-3},
        {"kohm", 1e3}}};
    const auto parsed = parse_with_unit(text, "a resistance", units, "2.5 ohm");
    if (!parsed) return parsed.error();
    return Resistance(*parsed);
}

inline std::string to_text(Resistance r) { return number_text(r.ohms(), 4) + " ohm"; }


// A power; watts.
class Power : public LinearQuantity<Power, double> {
public:
    constexpr Power() = default;
    constexpr explicit Power(double watts) : LinearQuantity(watts) {}
    constexpr double watts() const { return raw_; }
};

inline Parsed<Power, UnitFault> parse_power(std::string_view text) {
    static constexpr std::array<UnitName, 2> units{{
        {"W", 1},
        {"mW", 1e-3}}};
    const auto parsed = parse_with_unit(text, "a power", units, "12 W");
    if (!parsed) return parsed.error();
    return Power(*parsed);
}

inline std::string to_text(Power p) { return number_text(p.watts(), 3) + " W"; }

}  // namespace mastline
