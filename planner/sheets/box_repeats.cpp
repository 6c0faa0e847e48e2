// SPDX-License-Identifier: Apache-2.0
// A drawing that is higher than a sheet, as several: what hangs together once the few boxes that most lines meet are
// taken out (a core switch, the house inputs) goes on one sheet or another, and those boxes on each of them.
#include <algorithm>
#include <map>
#include <numeric>
#include <tuple>

#include "planner/sheets/box_chart.hpp"

namespace mastline {

namespace {

constexpr double kSheetHeight = 1000;    // of A3 between its margins, in CSS pixels
constexpr std::size_t kMostRepeated = 6;  // boxes; more would make drawings that are mostly alike

double height_of(const BoxChart& chart) { return lay_out(chart).height; }

double highest(const std::vector<BoxChart>& charts) {
    double out = 0;
    for (const auto& chart : charts) out = std::max(out, height_of(chart));
    return out;
}

std::vector<std::size_t> most_joined_first(const BoxChart& chart) {
    std::vector<std::size_t> lines(chart.boxes.size()), order(chart.boxes.size());
    for (const auto& line : chart.lines) ++lines[line.from_box], ++lines[line.to_box];
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return lines[a] > lines[b]; });
    return order;
}

// Makes one drawing after the other; a repeated box has its id, and the rows that no line meets, in the first of them.
class Repeater {
public:
    Repeater(const BoxChart& chart, const std::set<std::size_t>& repeated) : chart_(chart), repeated_(repeated) {
        for (const auto& line : chart.lines) met_.insert({line.from_box, true, line.from_row}), met_.insert({line.to_box, false, line.to_row});
    }

    BoxChart draw(const std::set<std::size_t>& own) {
        BoxChart out;
        std::map<std::size_t, std::size_t> place;
        std::map<RowId, std::size_t> rows;
        const auto put = [&](std::size_t box, bool right, std::size_t row) {
            const auto [at, is_new] = place.try_emplace(box, out.boxes.size());
            if (is_new) out.boxes.push_back(begun(box, rows));
            auto& side = right ? out.boxes[at->second].right : out.boxes[at->second].left;
            const auto [row_at, is_new_row] = rows.try_emplace({box, right, row}, side.size());
            if (is_new_row) side.push_back((right ? chart_.boxes[box].right : chart_.boxes[box].left)[row]);
            return std::pair(at->second, row_at->second);
        };
        for (const auto& line : chart_.lines) {
            if (!belongs(line, own)) continue;
            BoxLine drawn = line;
            std::tie(drawn.from_box, drawn.from_row) = put(line.from_box, true, line.from_row);
            std::tie(drawn.to_box, drawn.to_row) = put(line.to_box, false, line.to_row);
            out.lines.push_back(std::move(drawn));
        }
        for (const std::size_t box : own)
            if (!place.contains(box)) out.boxes.push_back(chart_.boxes[box]);
        drawn_any_ = true;
        return out;
    }

private:
    using RowId = std::tuple<std::size_t, bool, std::size_t>;  // box, whether on the right, row

    // A line between two repeated boxes is drawn once.
    bool belongs(const BoxLine& line, const std::set<std::size_t>& own) const {
        const bool from = own.contains(line.from_box), to = own.contains(line.to_box);
        if (from || to) return true;
        return !drawn_any_ && repeated_.contains(line.from_box) && repeated_.contains(line.to_box);
    }

    // The box with the rows that it has whatever lines are drawn.
    Box begun(std::size_t box, std::map<RowId, std::size_t>& rows) {
        Box out = chart_.boxes[box];
        if (!repeated_.contains(box)) {
            for (std::size_t r = 0; r < out.left.size(); ++r) rows[{box, false, r}] = r;
            for (std::size_t r = 0; r < out.right.size(); ++r) rows[{box, true, r}] = r;
            return out;
        }
        const bool is_first = begun_.insert(box).second;
        if (!is_first) out.id.clear(), out.also.clear(), out.subtitle = "continued: " + out.subtitle;
        for (const bool right : {false, true}) {
            std::vector<BoxRow> kept;
            auto& side = right ? out.right : out.left;
            for (std::size_t r = 0; is_first && r < side.size(); ++r)
                if (!met_.contains({box, right, r})) kept.push_back(side[r]);
            side = std::move(kept);
        }
        return out;
    }

    const BoxChart& chart_;
    const std::set<std::size_t>& repeated_;
    std::set<RowId> met_;  // by lines
    std::set<std::size_t> begun_;
    bool drawn_any_ = false;
};

// Groups from top to bottom, shared out to `count` drawings of about the same height.
std::vector<BoxChart> shared_out(const BoxChart& chart, const std::set<std::size_t>& repeated,
                                 const std::vector<std::vector<std::size_t>>& groups, std::size_t count) {
    std::vector<double> heights;
    for (const auto& group : groups) {
        double height = 0;
        for (const std::size_t b : group)
            height += head_height(chart.boxes[b]) + kRowPitch * static_cast<double>(std::max(chart.boxes[b].left.size(), chart.boxes[b].right.size()) + 1);
        heights.push_back(height);
    }
    const double total = std::accumulate(heights.begin(), heights.end(), 0.0);
    std::vector<std::set<std::size_t>> owned(count);
    double above = 0;
    for (std::size_t g = 0; g < groups.size(); ++g) {
        const auto at = static_cast<std::size_t>((above + heights[g] / 2) / total * static_cast<double>(count));
        owned[std::min(at, count - 1)].insert(groups[g].begin(), groups[g].end());
        above += heights[g];
    }
    Repeater repeater(chart, repeated);
    std::vector<BoxChart> out;
    for (const auto& own : owned)
        if (!own.empty()) out.push_back(repeater.draw(own));
    return out;
}

}  // namespace

std::vector<BoxChart> lower_parts(const BoxChart& chart) {
    const BoxLayout layout = lay_out(chart);
    if (layout.height <= kSheetHeight) return {chart};
    const auto order = most_joined_first(chart);
    const auto least = static_cast<std::size_t>(layout.height / kSheetHeight) + 1;
    std::vector<BoxChart> best{chart};
    double best_height = layout.height;
    std::set<std::size_t> repeated;
    for (std::size_t k = 0; k < std::min(kMostRepeated, order.size()) && best_height > kSheetHeight; ++k) {
        repeated.insert(order[k]);
        auto groups = joined_boxes(chart, repeated);
        const auto top = [&](const std::vector<std::size_t>& group) { return layout.boxes[group.front()].y; };
        std::stable_sort(groups.begin(), groups.end(), [&](const auto& a, const auto& b) { return top(a) < top(b); });
        for (std::size_t count = least; count <= std::min(groups.size(), least + 2) && best_height > kSheetHeight; ++count) {
            auto parts = shared_out(chart, repeated, groups, count);
            if (const double height = highest(parts); height < best_height) best = std::move(parts), best_height = height;
        }
    }
    return best;
}

}  // namespace mastline
