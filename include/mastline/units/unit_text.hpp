// SPDX-License-Identifier: Apache-2.0
// Numbers with units as people write them: "100 ft", "-20 dBm", "8 Mbit/s".
#pragma once

#include <charconv>
#include <cmath>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "mastline/bytes/parsed.hpp"

namespace mastline {

// Why a text is no quantity, in words for the person who wrote it.
struct UnitFault {
    std::string message;
};

// One accepted spelling of a unit: value in base units = number * factor + offset.
struct UnitName {
    std::string_view text;
    double factor = 1;
    double offset = 0;
};

namespace detail {

inline std::string_view trim(std::string_view s) {
    const auto first = s.find_first_not_of(" \t");
    if (first == std::string_view::npos) return {};
    return s.substr(first, s.find_last_not_of(" \t") - first + 1);
}

// One spelling for look-alikes: U+2212 minus, the two micro signs, the no-break spaces.
inline std::string plain_spelling(std::string_view s) {
    struct Pair {
        std::string_view from, to;
    };
    static constexpr Pair pairs[] = {{"\u2212", "-"}, {"\u00b5", "u"}, {"\u03bc", "u"},
                                     {"\u00a0", " "}, {"\u202f", " "}, {"\u03a9", "ohm"},
                                     {"\u2126", "ohm"}, {"\u00b0", ""}};
    std::string out(s);
    for (const auto& [from, to] : pairs)
        for (auto at = out.find(from); at != std::string::npos; at = out.find(from, at + to.size()))
            out.replace(at, from.size(), to);
    return out;
}

inline std::string unit_list(std::span<const UnitName> units) {
    std::string out;
    for (const auto& u : units) out += (out.empty() ? "" : ", ") + std::string(u.text);
    return out;
}

}  // namespace detail

// The number in base units. `what` names the quantity in messages ("a level"), `example` shows one.
inline Parsed<double, UnitFault> parse_with_unit(std::string_view text, std::string_view what,
                                                 std::span<const UnitName> units,
                                                 std::string_view example) {
    const std::string plain = detail::plain_spelling(text);
    std::string_view rest = detail::trim(plain);
    if (rest.size() > 1 && rest[0] == '+' && rest[1] != '-') rest.remove_prefix(1);
    const auto expected = [&] {
        return std::string(what) + " is written like \"" + std::string(example) + "\" (units: " +
               detail::unit_list(units) + ")";
    };
    double number = 0;
    const auto [end, ec] = std::from_chars(rest.data(), rest.data() + rest.size(), number);
    if (ec != std::errc{} || !std::isfinite(number))
        return UnitFault{"\"" + std::string(text) + "\" does not start with a number; " + expected()};
    const std::string_view unit =
        detail::trim(rest.substr(static_cast<std::size_t>(end - rest.data())));
    if (unit.empty())
        return UnitFault{"\"" + std::string(text) + "\" has no unit; " + expected()};
    for (const auto& u : units)
        if (detail::plain_spelling(u.text) == unit) return number * u.factor + u.offset;
    return UnitFault{"\"" + std::string(text) + "\" has the unit \"" + std::string(unit) + "\"; " +
                     expected()};
}

// As parse_with_unit(), rounded to whole base units; values beyond 9e18 are refused.
inline Parsed<std::int64_t, UnitFault> parse_whole_with_unit(std::string_view text,
                                                             std::string_view what,
                                                             std::span<const UnitName> units,
                                                             std::string_view example) {
    const auto parsed = parse_with_unit(text, what, units, example);
    if (!parsed) return parsed.error();
    if (std::abs(*parsed) > 9e18) return UnitFault{"\"" + std::string(text) + "\" is too large"};
    return static_cast<std::int64_t>(std::llround(*parsed));
}

// Shortest decimal that is at most `digits` after the point and has no trailing zeros.
inline std::string number_text(double value, int digits) {
    char buffer[64];
    const auto [end, ec] = std::to_chars(buffer, buffer + sizeof buffer, value,
                                         std::chars_format::fixed, digits);
    std::string out(buffer, ec == std::errc{} ? end : buffer);
    if (out.find('.') != std::string::npos) {
        out.erase(out.find_last_not_of('0') + 1);
        if (out.back() == '.') out.pop_back();
    }
    return out == "-0" ? "0" : out;
}

// Always `digits` after the point, never "-0.0".
inline std::string fixed_text(double value, int digits) {
    char buffer[64];
    const double half = 0.5 * std::pow(10.0, -digits);
    if (value < 0 && value > -half) value = 0;
    const auto [end, ec] = std::to_chars(buffer, buffer + sizeof buffer, value,
                                         std::chars_format::fixed, digits);
    return {buffer, ec == std::errc{} ? end : buffer};
}

}  // namespace mastline
