// SPDX-License-Identifier: Apache-2.0
#include "probe/report/terminal_text.hpp"

#include <algorithm>
#include <array>

#include "mastline/text/escape.hpp"

namespace mastline {

namespace {

struct Range {
    std::uint32_t from, to;
};

// Unicode: combining marks and joiners take no column, wide East Asian characters and emoji two.
constexpr std::array<Range, 5> kNoColumn{
    {{0x0300, 0x036F}, {0x0483, 0x0489}, {0x200B, 0x200D}, {0x20D0, 0x20FF}, {0xFE00, 0xFE0F}}};
constexpr std::array<Range, 9> kTwoColumns{{{0x1100, 0x115F},
                                            {0x2E80, 0xA4CF},
                                            {0xAC00, 0xD7A3},
                                            {0xF900, 0xFAFF},
                                            {0xFE30, 0xFE6F},
                                            {0xFF00, 0xFF60},
                                            {0xFFE0, 0xFFE6},
                                            {0x1F300, 0x1FAFF},
                                            {0x20000, 0x3FFFD}}};

template <std::size_t N>
bool in(const std::array<Range, N>& ranges, std::uint32_t c) {
    return std::ranges::any_of(ranges, [c](Range r) { return c >= r.from && c <= r.to; });
}

std::size_t columns_of_point(std::uint32_t c) {
    if (in(kNoColumn, c)) return 0;
    return in(kTwoColumns, c) ? 2 : 1;
}

// Calls f(sequence, columns) for each character.
template <class F>
void for_each_character(std::string_view text, F&& f) {
    while (!text.empty()) {
        const std::size_t length = std::max<std::size_t>(detail::utf8_length(text), 1);
        const auto sequence = text.substr(0, length);
        f(sequence, columns_of_point(detail::code_point(sequence)));
        text.remove_prefix(length);
    }
}

}  // namespace

std::size_t columns_of(std::string_view text) {
    std::size_t out = 0;
    for_each_character(text, [&](std::string_view, std::size_t columns) { out += columns; });
    return out;
}

std::string shown(std::string_view text, const TerminalStyle& style) {
    std::string plain = plain_line(text);
    if (style.utf8) return plain;
    std::string out;
    for_each_character(plain, [&](std::string_view sequence, std::size_t) {
        out += sequence.size() == 1 ? sequence : std::string_view("?");
    });
    return out;
}

std::string clipped(std::string_view text, std::size_t columns, const TerminalStyle& style) {
    if (columns_of(text) <= columns) return std::string(text);
    const std::string dots = style.utf8 ? "\u2026" : "..";
    const std::size_t room = columns > columns_of(dots) ? columns - columns_of(dots) : 0;
    std::string out;
    std::size_t used = 0;
    bool full = false;
    for_each_character(text, [&](std::string_view sequence, std::size_t width) {
        full |= used + width > room;
        if (full) return;
        out += sequence;
        used += width;
    });
    return out + dots;
}

std::string padded(std::string_view text, std::size_t columns, const TerminalStyle& style) {
    std::string out = clipped(text, columns, style);
    const std::size_t used = columns_of(out);
    return out + std::string(columns > used ? columns - used : 0, ' ');
}

std::string wrapped(std::string_view text, std::size_t first_indent, std::size_t indent,
                    const TerminalStyle& style) {
    std::string out, line(first_indent, ' ');
    std::size_t used = first_indent;
    bool fresh = true;
    while (!text.empty()) {
        const auto end = std::min(text.find(' '), text.size());
        const auto word = text.substr(0, end);
        const std::size_t width = columns_of(word);
        if (!fresh && used + 1 + width > style.width) {
            out += line + "\n";
            line = std::string(indent, ' ');
            used = indent;
            fresh = true;
        }
        line += (fresh ? "" : " ") + std::string(word);
        used += width + (fresh ? 0 : 1);
        fresh = false;
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return out + line + "\n";
}

std::string tinted(std::string_view text, Tint tint, const TerminalStyle& style) {
    if (!style.colour) return std::string(text);
    const std::string_view code = tint == Tint::good   ? "32"
                                  : tint == Tint::bad  ? "1;31"
                                  : tint == Tint::strong ? "1"
                                                         : "33";
    return "\x1b[" + std::string(code) + "m" + std::string(text) + "\x1b[0m";
}

std::vector<std::size_t> TextTable::widths(const TerminalStyle& style) const {
    std::vector<std::size_t> out(rows_.front().size(), 0);
    for (const auto& row : rows_)
        for (std::size_t i = 0; i < row.size(); ++i) out[i] = std::max(out[i], columns_of(row[i]));
    const auto total = [&] {
        std::size_t sum = 2 * (out.size() - 1);
        for (const auto w : out) sum += w;
        return sum;
    };
    // The last column gives way first, down to 20 columns; then the widest of the others.
    if (total() > style.width) out.back() -= std::min(out.back() - std::min<std::size_t>(out.back(), 20), total() - style.width);
    while (total() > style.width) {
        const auto widest = std::max_element(out.begin(), out.end() - 1);
        if (*widest <= 8) break;
        --*widest;
    }
    return out;
}

std::string TextTable::text(const TerminalStyle& style) const {
    const auto width = widths(style);
    std::string out;
    for (std::size_t r = 0; r < rows_.size(); ++r) {
        for (std::size_t i = 0; i < width.size(); ++i) {
            const bool last = i + 1 == width.size();
            const std::string cell = last ? clipped(rows_[r][i], width[i], style)
                                          : padded(rows_[r][i], width[i], style) + "  ";
            out += r == 0 ? tinted(cell, Tint::strong, style)
                   : i == 0 ? tinted(cell, tints_[r - 1], style)
                            : cell;
        }
        out += "\n";
    }
    return out;
}

}  // namespace mastline
