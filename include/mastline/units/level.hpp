// SPDX-License-Identifier: Apache-2.0
// Level (a point) and Gain (a distance). Level + Gain is a Level, Level - Level is a Gain;
// Level + Level does not compile: powers are added by name, combined_power(a, b).
#pragma once

#include <array>
#include <cmath>
#include <compare>
#include <string>
#include <string_view>

#include "mastline/units/unit_text.hpp"

namespace mastline {

// A difference of levels in dB. Positive is gain, negative is loss.
class Gain {
public:
    constexpr Gain() = default;
    static constexpr Gain db(double value) { return Gain(value); }
    constexpr double db() const { return db_; }

    constexpr Gain operator-() const { return Gain(-db_); }
    friend constexpr Gain operator+(Gain a, Gain b) { return Gain(a.db_ + b.db_); }
    friend constexpr Gain operator-(Gain a, Gain b) { return Gain(a.db_ - b.db_); }
    friend constexpr Gain operator*(Gain a, double n) { return Gain(a.db_ * n); }
    constexpr Gain& operator+=(Gain b) {
        db_ += b.db_;
        return *this;
    }
    friend constexpr auto operator<=>(Gain, Gain) = default;

private:
    constexpr explicit Gain(double value) : db_(value) {}
    double db_ = 0;
};

// 0 dBm in dBmV across 75 ohm: 10 log10(75) + 30. dBuV is dBmV + 60.
inline constexpr double kDbmvOfZeroDbm = 48.750612633917;

// A carrier level at one point of the chain: power in the whole channel, across 75 ohm.
class Level {
public:
    constexpr Level() = default;
    static constexpr Level dbm(double value) { return Level(value); }
    static constexpr Level dbmv(double value) { return Level(value - kDbmvOfZeroDbm); }
    static constexpr Level dbuv(double value) { return Level(value - kDbmvOfZeroDbm - 60); }
    constexpr double dbm() const { return dbm_; }
    constexpr double dbmv() const { return dbm_ + kDbmvOfZeroDbm; }
    constexpr double dbuv() const { return dbm_ + kDbmvOfZeroDbm + 60; }

    friend constexpr Level operator+(Level a, Gain b) { return Level(a.dbm_ + b.db()); }
    friend constexpr Level operator-(Level a, Gain b) { return Level(a.dbm_ - b.db()); }
    friend constexpr Gain operator-(Level a, Level b) { return Gain::db(a.dbm_ - b.dbm_); }
    friend constexpr auto operator<=>(Level, Level) = default;

private:
    constexpr explicit Level(double dbm) : dbm_(dbm) {}
    double dbm_ = 0;
};

// Sum of two powers.
inline Level combined_power(Level a, Level b) {
    return Level::dbm(10 * std::log10(std::pow(10, a.dbm() / 10) + std::pow(10, b.dbm() / 10)));
}

inline Parsed<Level, UnitFault> parse_level(std::string_view text) {
    static constexpr std::array<UnitName, 4> units{{{"dBm", 1, 0},
                                                    {"dBmV", 1, -kDbmvOfZeroDbm},
                                                    {"dBuV", 1, -kDbmvOfZeroDbm - 60},
                                                    {"dB\u00b5V", 1, -kDbmvOfZeroDbm - 60}}};
    const auto parsed = parse_with_unit(text, "a level", units, "-20 dBm");
    if (!parsed) return parsed.error();
    return Level::dbm(*parsed);
}

inline Parsed<Gain, UnitFault> parse_gain(std::string_view text) {
    static constexpr std::array<UnitName, 1> units{{{"dB"}}};
    const auto parsed = parse_with_unit(text, "a gain or loss", units, "6 dB");
    if (!parsed) return parsed.error();
    return Gain::db(*parsed);
}

// "-26.0 dBm": one decimal, as a meter shows it.
inline std::string to_text(Level level) { return fixed_text(level.dbm(), 1) + " dBm"; }
inline std::string to_text(Gain gain) { return fixed_text(gain.db(), 1) + " dB"; }
// Up to six decimals, for files that are read back.
inline std::string to_exact_text(Level level) { return number_text(level.dbm(), 6) + " dBm"; }
inline std::string to_exact_text(Gain gain) { return number_text(gain.db(), 6) + " dB"; }

}  // namespace mastline
