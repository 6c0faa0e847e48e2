// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/markup.hpp"

#include <algorithm>

#include "mastline/text/escape.hpp"
#include "mastline/units/unit_text.hpp"

namespace mastline {

namespace {

// East Asian wide and fullwidth blocks of Unicode Standard Annex 11, and the pictographs.
bool is_wide(std::uint32_t c) {
    return (c >= 0x1100 && c <= 0x115F) || (c >= 0x2E80 && c <= 0xA4CF) ||
           (c >= 0xAC00 && c <= 0xD7A3) || (c >= 0xF900 && c <= 0xFAFF) ||
           (c >= 0xFE30 && c <= 0xFE6F) || (c >= 0xFF00 && c <= 0xFF60) ||
           (c >= 0xFFE0 && c <= 0xFFE6) || (c >= 0x1F300 && c <= 0x1FAFF) ||
           (c >= 0x20000 && c <= 0x3FFFD);
}

// The next character of well-formed UTF-8 and the columns it takes.
std::size_t step(std::string_view text, std::size_t& columns) {
    const std::size_t length = std::max<std::size_t>(detail::utf8_length(text), 1);
    columns = is_wide(detail::code_point(text.substr(0, length))) ? 2 : 1;
    return length;
}

}  // namespace

std::string typographic(std::string_view number) {
    if (number.starts_with('-')) return "\u2212" + std::string(number.substr(1));
    return std::string(number);
}

std::string coordinate(double value) {
    return number_text(value, 1);
}

std::size_t column_count(std::string_view text) {
    const std::string plain = plain_line(text);
    std::string_view rest = plain;
    std::size_t total = 0;
    while (!rest.empty()) {
        std::size_t columns = 0;
        rest.remove_prefix(step(rest, columns));
        total += columns;
    }
    return total;
}

std::string shortened(std::string_view text, std::size_t columns) {
    std::string plain = plain_line(text);
    if (column_count(plain) <= columns) return plain;
    std::size_t kept = 0, used = 0;
    while (kept < plain.size()) {
        std::size_t wide = 0;
        const std::size_t length = step(std::string_view(plain).substr(kept), wide);
        if (used + wide + 1 > columns) break;
        used += wide;
        kept += length;
    }
    return plain.substr(0, kept) + "\u2026";
}

std::string svg_text(double x, double y, std::string_view style, std::string_view text,
                     std::string_view hover) {
    std::string out = "<text x=\"" + coordinate(x) + "\" y=\"" + coordinate(y) + "\"";
    if (!style.empty()) out += " class=\"" + std::string(style) + "\"";
    out += ">" + escape_markup(text);
    if (!hover.empty()) out += "<title>" + escape_markup(hover) + "</title>";
    return out + "</text>";
}

std::string svg_line(double x1, double y1, double x2, double y2, std::string_view style) {
    std::string out = "<path d=\"M" + coordinate(x1) + " " + coordinate(y1) + "L" + coordinate(x2) +
                      " " + coordinate(y2) + "\"";
    if (!style.empty()) out += " class=\"" + std::string(style) + "\"";
    return out + "/>";
}

std::string counted(std::size_t count, std::string_view one, std::string_view many) {
    return std::to_string(count) + " " + std::string(count == 1 ? one : many);
}

}  // namespace mastline
