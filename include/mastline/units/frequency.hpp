// SPDX-License-Identifier: Apache-2.0
// Frequency in whole hertz, symbol rate in whole symbols per second.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <string>
#include <string_view>

#include "mastline/units/linear.hpp"
#include "mastline/units/unit_text.hpp"

namespace mastline {

// A frequency; whole hertz.
class Frequency : public LinearQuantity<Frequency, std::int64_t> {
public:
    constexpr Frequency() = default;
    constexpr explicit Frequency(std::int64_t hertz) : LinearQuantity(hertz) {}
    constexpr std::int64_t hertz() const { return raw_; }
};

inline Parsed<Frequency, UnitFault> parse_frequency(std::string_view text) {
    static constexpr std::array<UnitName, 4> units{{
        {"Hz", 1},
        {"kHz", 1e3},
        {"MHz", 1e6},
        {"GHz", 1e9}}};
    const auto parsed = parse_whole_with_unit(text, "a frequency", units, "1178 MHz");
    if (!parsed) return parsed.error();
    return Frequency(*parsed);
}

// "1178 MHz", "10.832 GHz" would read 10832 MHz: the trade writes megahertz.
inline std::string to_text(Frequency f) {
    return number_text(static_cast<double>(f.hertz()) / 1e6, 6) + " MHz";
}

constexpr double megahertz(Frequency f) { return static_cast<double>(f.hertz()) / 1e6; }
constexpr Frequency frequency_of_megahertz(double mhz) {
    return Frequency(static_cast<std::int64_t>(mhz * 1e6 + (mhz < 0 ? -0.5 : 0.5)));
}


// A symbol rate; whole symbols per second.
class SymbolRate : public LinearQuantity<SymbolRate, std::int64_t> {
public:
    constexpr SymbolRate() = default;
    constexpr explicit SymbolRate(std::int64_t symbols_per_second) : LinearQuantity(symbols_per_second) {}
    constexpr std::int64_t symbols_per_second() const { return raw_; }
};

inline Parsed<SymbolRate, UnitFault> parse_symbol_rate(std::string_view text) {
    static constexpr std::array<UnitName, 6> units{{
        {"sym/s", 1},
        {"ksym/s", 1e3},
        {"Msym/s", 1e6},
        {"kBd", 1e3},
        {"MBd", 1e6},
        {"Bd", 1}}};
    const auto parsed = parse_whole_with_unit(text, "a symbol rate", units, "27.5 Msym/s");
    if (!parsed) return parsed.error();
    return SymbolRate(*parsed);
}

inline std::string to_text(SymbolRate r) {
    return number_text(static_cast<double>(r.symbols_per_second()) / 1e6, 6) + " Msym/s";
}

}  // namespace mastline
