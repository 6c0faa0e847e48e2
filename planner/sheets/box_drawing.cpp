// SPDX-License-Identifier: Apache-2.0
#include "mastline/text/escape.hpp"
#include "planner/sheets/box_chart.hpp"
#include "planner/sheets/markup.hpp"

namespace mastline {

namespace {

std::string hover_element(const std::string& text) {
    return text.empty() ? "" : "<title>" + escape_markup(text) + "</title>";
}

void draw_line(std::string& out, const BoxLine& line, const std::vector<PathPoint>& path) {
    out += "<path class=\"line";
    if (line.in_reserve) out += " reserve";
    else if (line.fit != Fit::untold) out += " " + std::string(to_text(line.fit));
    out += "\"";
    if (line.width != BoxLine{}.width) out += " stroke-width=\"" + coordinate(line.width) + "\"";
    out += " d=\"M" + coordinate(path.front().x) + " " + coordinate(path.front().y);
    for (std::size_t i = 1; i < path.size(); ++i) {
        const auto& [x, y] = path[i];
        if (y == path[i - 1].y)
            out += "H" + coordinate(x);
        else if (x == path[i - 1].x)
            out += "V" + coordinate(y);
        else
            out += "L" + coordinate(x) + " " + coordinate(y);
    }
    out += "\">" + hover_element(line.hover) + "</path>\n";
}

// A meter's mark: a ring with a cross, on the edge of the box.
std::string test_point(double x, double y) {
    return "<path class=\"tp\" d=\"M" + coordinate(x - 3.5) + " " + coordinate(y) +
           "a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0 -7 0zm1 -2.5l5 5m0 -5l-5 5\"/>";
}

void draw_rows(std::string& out, const Box& box, const PlacedBox& at, bool right) {
    const auto& rows = right ? box.right : box.left;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const double y = at.y + row_middle(box, i);
        std::string style = right ? "e" : "";
        if (rows[i].fit != Fit::untold)
            style += (style.empty() ? "" : " ") + std::string(to_text(rows[i].fit));
        out += svg_text(right ? at.x + at.width - 7 : at.x + 7, y + 3.2, style, rows[i].text,
                        rows[i].hover);
        if (rows[i].marked) out += test_point(right ? at.x + at.width : at.x, y);
    }
}

std::string frame(const PlacedBox& at) {
    return "<rect class=\"box\" x=\"" + coordinate(at.x) + "\" y=\"" + coordinate(at.y) +
           "\" width=\"" + coordinate(at.width) + "\" height=\"" + coordinate(at.height) + "\"/>";
}

std::string title_of(const Box& box, double x, double y) {
    const std::string title = svg_text(x, y, "t", box.title);
    return box.target.empty() ? title : "<a href=\"#" + box.target + "\">" + title + "</a>";
}

// The other side of a line that was cut between two drawings.
void draw_stub(std::string& out, const Box& box, const PlacedBox& at) {
    out += "<g class=\"stub\">" + frame(at) + title_of(box, at.x + 7, at.y + 13);
    draw_rows(out, box, at, false);
    draw_rows(out, box, at, true);
    out += "</g>\n";
}

void draw_box(std::string& out, const Box& box, const PlacedBox& at) {
    if (box.is_stub) return draw_stub(out, box, at);
    out += (box.id.empty() ? "<g>" : "<g id=\"" + box.id + "\">") + hover_element(box.hover);
    for (const auto& id : box.also) out += "<g id=\"" + id + "\">" + frame(at) + "</g>";
    out += frame(at);
    out += svg_line(at.x, at.y + kBoxHead - 2, at.x + at.width, at.y + kBoxHead - 2, "rule");
    out += title_of(box, at.x + 7, at.y + 13) + svg_text(at.x + 7, at.y + 25, "s", box.subtitle);
    draw_rows(out, box, at, false);
    draw_rows(out, box, at, true);
    out += "</g>\n";
}

}  // namespace

std::string draw_boxes(const BoxChart& chart, const BoxLayout& layout, const std::string& id,
                       const std::string& title, const std::string& description) {
    std::string out =
        "<svg class=\"boxes\" id=\"" + id + "\" viewBox=\"0 0 " + coordinate(layout.width) + " " +
        coordinate(layout.height) + "\" width=\"" + coordinate(layout.width) + "\" height=\"" +
        coordinate(layout.height) + "\" role=\"group\" aria-labelledby=\"" + id + "-t " + id +
        "-d\"><title id=\"" + id + "-t\">" + escape_markup(title) + "</title><desc id=\"" + id +
        "-d\">" + escape_markup(description) + "</desc>\n";
    for (std::size_t l = 0; l < chart.lines.size(); ++l)
        draw_line(out, chart.lines[l], layout.paths[l]);
    for (std::size_t b = 0; b < chart.boxes.size(); ++b)
        draw_box(out, chart.boxes[b], layout.boxes[b]);
    return out + "</svg>\n";
}

}  // namespace mastline
