// SPDX-License-Identifier: Apache-2.0
// Text by the columns it takes on a terminal.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/report/terminal.hpp"

namespace mastline {

std::size_t columns_of(std::string_view text);

// At most `columns`, the end replaced by an ellipsis where it does not fit.
std::string clipped(std::string_view text, std::size_t columns, const TerminalStyle& style);
// Exactly `columns`.
std::string padded(std::string_view text, std::size_t columns, const TerminalStyle& style);
// Lines of at most style.width columns, broken at spaces; all after the first are indented.
std::string wrapped(std::string_view text, std::size_t first_indent, std::size_t indent,
                    const TerminalStyle& style);
// Text from outside, made safe for this terminal.
std::string shown(std::string_view text, const TerminalStyle& style);

enum class Tint { good, bad, doubtful, strong };
std::string tinted(std::string_view text, Tint tint, const TerminalStyle& style);

// A table whose last column gives way when the width is short.
class TextTable {
public:
    explicit TextTable(std::vector<std::string> heading) : rows_{std::move(heading)} {}
    void add(std::vector<std::string> row, Tint tint) {
        rows_.push_back(std::move(row));
        tints_.push_back(tint);
    }
    // The first column in its row's tint.
    std::string text(const TerminalStyle& style) const;

private:
    std::vector<std::size_t> widths(const TerminalStyle& style) const;
    std::vector<std::vector<std::string>> rows_;
    std::vector<Tint> tints_;
};

}  // namespace mastline
