// SPDX-License-Identifier: Apache-2.0
// Small pieces of HTML and SVG that all sheets use.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace mastline {

// Numbers as print sets them: U+2212 for the minus sign.
std::string typographic(std::string_view number);

// Coordinates: one decimal at most, so that the text does not depend on the last bits.
std::string coordinate(double value);

// How many columns of a fixed-width font a text takes: wide East Asian characters take two.
std::size_t column_count(std::string_view text);

// At most `columns` wide; what is cut is shown by an ellipsis.
std::string shortened(std::string_view text, std::size_t columns);

// "<text x= y= class=>": text and hover are escaped here; no hover where it is empty.
std::string svg_text(double x, double y, std::string_view style, std::string_view text,
                     std::string_view hover = {});
std::string svg_line(double x1, double y1, double x2, double y2, std::string_view style);

// "3 channels", "1 channel".
std::string counted(std::size_t count, std::string_view one, std::string_view many);

}  // namespace mastline
