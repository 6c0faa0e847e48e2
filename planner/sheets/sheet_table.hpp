// SPDX-License-Identifier: Apache-2.0
// A table of the document set, told once and written as HTML or CSV.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/venue/channels.hpp"

namespace mastline {

// How well something fits. Every output says it in words or line style as well as in colour.
enum class Fit : std::uint8_t { untold, good, near, out };

// "", "good", "near", "out": the word is the style's name too.
std::string_view to_text(Fit fit);

struct Column {
    std::string name;
    std::string unit;     // stands in the header, not in the cells; may be empty
    bool number = false;  // sorts and aligns as numbers
};

struct Cell {
    std::string text;
    std::optional<double> number = {};  // instead of the text
    int digits = 0;                     // after the point
    std::string target = {};            // id of the element that the cell links to; may be empty
    Fit fit = Fit::untold;
};

struct Row {
    std::string id;  // of the HTML element; may be empty
    std::vector<Cell> cells;
    bool on_screen_only = false;  // left out on paper, unless the reader filtered the table
};

struct SheetTable {
    std::string id;
    std::string caption;
    std::vector<Column> columns;
    std::vector<Row> rows;
    bool is_narrow = false;  // two stand side by side on paper
    std::string left_out = {};  // says on paper which rows are left out there; may be empty
};

inline Cell text_cell(std::string text) {
    return {.text = std::move(text)};
}
inline Cell link_cell(std::string text, std::string target) {
    return {.text = std::move(text), .target = std::move(target)};
}
inline Cell number_cell(double value, int digits) {
    return {.text = {}, .number = value, .digits = digits};
}
// A number, so that spreadsheets look it up and sort it as one; a sub-channel stays as written.
inline Cell channel_cell(const ChannelNumber& number, std::string target = {}) {
    Cell out = number.minor > 0 ? text_cell(to_text(number)) : number_cell(number.major, 0);
    out.target = std::move(target);
    return out;
}
inline Cell count_cell(std::size_t count) {
    return number_cell(static_cast<double>(count), 0);
}

// "Length (m)"
std::string header_text(const Column& column);

std::string to_html(const SheetTable& table);
std::string to_csv(const SheetTable& table);

}  // namespace mastline
