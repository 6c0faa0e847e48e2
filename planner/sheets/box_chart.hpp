// SPDX-License-Identifier: Apache-2.0
// Boxes with rows of text at their ports and lines between the ports, laid out in layers from left
// to right: the picture of the signal path and that of the network are both of this kind.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "planner/sheets/sheet_table.hpp"

namespace mastline {

struct BoxRow {
    std::string text;
    Fit fit = Fit::untold;
    bool marked = false;  // a symbol is drawn at the port
    std::string hover = {};
};

struct Box {
    std::string id;  // of the SVG group; empty where the box stands in another drawing too
    std::string title;
    std::string subtitle;
    std::string hover;   // shown on hover, read by screen readers
    std::string target;  // id of the row that the title links to; may be empty
    std::vector<BoxRow> left, right;
    bool is_stub = false;  // stands for a box of another drawing
    std::vector<std::string> also = {};  // ids of what the box stands for besides its own
};

// From a right row of one box to a left row of another.
struct BoxLine {
    std::size_t from_box = 0, from_row = 0, to_box = 0, to_row = 0;
    Fit fit = Fit::untold;
    double width = 1.2;
    std::string hover;
    bool in_reserve = false;  // carries nothing unless something fails
};

struct BoxChart {
    std::vector<Box> boxes;
    std::vector<BoxLine> lines;
};

// Measures that layout and drawing share, in CSS pixels.
inline constexpr double kTextSize = 9.5;
inline constexpr double kTextAdvance = 0.61 * kTextSize;  // of the widest common fixed-width fonts
inline constexpr double kTitleAdvance = 0.61 * 11;
inline constexpr double kRowPitch = 13;
inline constexpr double kBoxHead = 32;  // above the first row
inline constexpr double kBoxFoot = 6;
inline constexpr double kStubHead = 17;  // of a box that stands for another

struct PlacedBox {
    double x = 0, y = 0, width = 0, height = 0;
};

// A point of a line's path; lines run level and upright only.
struct PathPoint {
    double x = 0, y = 0;
};

struct BoxLayout {
    std::vector<PlacedBox> boxes;               // as BoxChart::boxes
    std::vector<std::vector<PathPoint>> paths;  // as BoxChart::lines
    double width = 0, height = 0;
};

BoxLayout lay_out(const BoxChart& chart);

// Column of each box, from the left.
std::vector<std::size_t> layers_of_boxes(const BoxChart& chart);

inline double head_height(const Box& box) { return box.is_stub ? kStubHead : kBoxHead; }

// Height of a row's middle below the top of its box.
inline double row_middle(const Box& box, std::size_t row) {
    return head_height(box) + kRowPitch * (static_cast<double>(row) + 0.5);
}

// Boxes by the part that lines join them to, parts in the order of their first box. What is left out is in none and
// joins none.
std::vector<std::vector<std::size_t>> joined_boxes(const BoxChart& chart, const std::set<std::size_t>& left_out = {});

// Charts that each fit on a sheet's height, as far as that can be had: the few boxes that most lines meet stand in
// each of them again, with the rows that are used there.
std::vector<BoxChart> lower_parts(const BoxChart& chart);

// Charts that each fit on a sheet's width and height: cut between layers where need be, stubs standing for the
// other side; parts that no line joins are apart.
std::vector<BoxChart> sheet_parts(const BoxChart& chart);

// Each part in a scrolling region of its own; `id` starts the ids of the drawings.
std::string draw_parts(const BoxChart& chart, const std::string& id, const std::string& title,
                       const std::string& description);

// The drawing as one <svg> element with that id.
std::string draw_boxes(const BoxChart& chart, const BoxLayout& layout, const std::string& id,
                       const std::string& title, const std::string& description);

}  // namespace mastline
