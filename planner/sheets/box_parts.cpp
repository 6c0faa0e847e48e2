// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <map>
#include <numeric>

#include "mastline/text/escape.hpp"
#include "planner/sheets/box_chart.hpp"

namespace mastline {

namespace {

// A drawing this high and as wide as A3 asks keeps its letters readable on paper.
constexpr double kSheetHeight = 1300;

std::size_t root_of(std::vector<std::size_t>& parent, std::size_t box) {
    while (parent[box] != box) box = parent[box] = parent[parent[box]];
    return box;
}

// Boxes by the part they belong to, parts in the order of their first box.
std::vector<std::vector<std::size_t>> joined_boxes(const BoxChart& chart) {
    std::vector<std::size_t> parent(chart.boxes.size());
    std::iota(parent.begin(), parent.end(), std::size_t{0});
    for (const auto& line : chart.lines) {
        const auto a = root_of(parent, line.from_box), b = root_of(parent, line.to_box);
        parent[std::max(a, b)] = std::min(a, b);
    }
    std::map<std::size_t, std::vector<std::size_t>> parts;
    for (std::size_t b = 0; b < parent.size(); ++b) parts[root_of(parent, b)].push_back(b);
    std::vector<std::vector<std::size_t>> out;
    for (auto& [root, boxes] : parts) out.push_back(std::move(boxes));
    return out;
}

BoxChart chart_of(const BoxChart& chart, const std::vector<std::size_t>& boxes) {
    BoxChart out;
    std::map<std::size_t, std::size_t> place;
    for (const std::size_t b : boxes) {
        place[b] = out.boxes.size();
        out.boxes.push_back(chart.boxes[b]);
    }
    for (auto line : chart.lines) {
        const auto from = place.find(line.from_box);
        if (from == place.end()) continue;
        line.from_box = from->second;
        line.to_box = place.at(line.to_box);
        out.lines.push_back(std::move(line));
    }
    return out;
}

}  // namespace

std::vector<BoxChart> sheet_parts(const BoxChart& chart) {
    std::vector<std::vector<std::size_t>> sheets;
    double used = kSheetHeight;
    for (const auto& boxes : joined_boxes(chart)) {
        const double height = lay_out(chart_of(chart, boxes)).height;
        if (used + height > kSheetHeight) {
            sheets.emplace_back();
            used = 0;
        }
        sheets.back().insert(sheets.back().end(), boxes.begin(), boxes.end());
        used += height;
    }
    std::vector<BoxChart> out;
    for (const auto& boxes : sheets) out.push_back(chart_of(chart, boxes));
    return out;
}

std::string draw_parts(const BoxChart& chart, const std::string& id, const std::string& title,
                       const std::string& description) {
    const auto parts = sheet_parts(chart);
    std::string out;
    for (std::size_t p = 0; p < parts.size(); ++p) {
        std::string name = title;
        if (parts.size() > 1)
            name += ", part " + std::to_string(p + 1) + " of " + std::to_string(parts.size());
        out +=
            "<div class=\"scroll drawing\" role=\"region\" tabindex=\"0\" aria-label=\"" +
            escape_markup(name) + "\">" +
            draw_boxes(parts[p], lay_out(parts[p]), id + std::to_string(p + 1), name, description) +
            "</div>\n";
    }
    return out;
}

}  // namespace mastline
