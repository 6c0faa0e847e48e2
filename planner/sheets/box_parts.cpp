// SPDX-License-Identifier: Apache-2.0
// Drawings that fit on paper with their letters in full size: a chart wider than a sheet is cut
// between layers, and what no line joins any more is drawn apart.
#include <algorithm>
#include <map>
#include <numeric>
#include <set>

#include "mastline/text/escape.hpp"
#include "planner/sheets/box_chart.hpp"

namespace mastline {

namespace {

constexpr double kSheetWidth = 1485;  // of A3 between its margins, in CSS pixels

std::size_t root_of(std::vector<std::size_t>& parent, std::size_t box) {
    while (parent[box] != box) box = parent[box] = parent[parent[box]];
    return box;
}

std::vector<BoxChart> unjoined_parts(const BoxChart& chart) {
    const auto parts = joined_boxes(chart);
    std::vector<BoxChart> out(parts.size());
    std::vector<std::pair<std::size_t, std::size_t>> place(chart.boxes.size());  // part, box in it
    for (std::size_t p = 0; p < parts.size(); ++p)
        for (const std::size_t b : parts[p]) {
            place[b] = {p, out[p].boxes.size()};
            out[p].boxes.push_back(chart.boxes[b]);
        }
    for (auto line : chart.lines) {
        const auto [part, from] = place[line.from_box];
        line.from_box = from;
        line.to_box = place[line.to_box].second;
        out[part].lines.push_back(std::move(line));
    }
    return out;
}

// "out1 2" of "out1 2  −26.0/−28.3": the level stands where the line begins or ends in full.
std::string port_of(const BoxRow& row) { return row.text.substr(0, row.text.find("  ")); }

// The layers from `first` to `last`, with a stub for every line that is cut: it names what the line
// leads to or comes from.
class Band {
public:
    Band(const BoxChart& chart, const std::vector<std::size_t>& layers, std::size_t first,
         std::size_t last)
        : chart_(chart) {
        for (std::size_t b = 0; b < chart.boxes.size(); ++b) {
            if (layers[b] < first || layers[b] > last) continue;
            place_[b] = out_.boxes.size();
            out_.boxes.push_back(chart.boxes[b]);
        }
        for (const auto& line : chart.lines) {
            const bool starts = place_.contains(line.from_box), ends = place_.contains(line.to_box);
            if (starts && ends) add(line, place_[line.from_box], line.from_row, place_[line.to_box],
                                    line.to_row);
            else if (starts) cut_end(line);
            else if (ends) cut_start(line);
        }
    }
    BoxChart take() { return std::move(out_); }

private:
    void add(const BoxLine& line, std::size_t from, std::size_t from_row, std::size_t to,
             std::size_t to_row) {
        out_.lines.push_back({from, from_row, to, to_row, line.fit, line.width, line.hover,
                              line.in_reserve});
    }

    // One stub for each pair of boxes: a shared one would join parts that can be drawn apart.
    std::size_t stub(const BoxLine& line, std::size_t named, const char* word) {
        const auto [at, is_new] =
            stubs_.try_emplace({line.from_box, line.to_box}, out_.boxes.size());
        if (is_new) {
            Box box;
            box.title = std::string(word) + chart_.boxes[named].title;
            box.target = chart_.boxes[named].id;
            box.is_stub = true;
            out_.boxes.push_back(std::move(box));
        }
        return at->second;
    }
    void cut_end(const BoxLine& line) {
        const std::size_t to = stub(line, line.to_box, "to ");
        auto& rows = out_.boxes[to].left;
        add(line, place_[line.from_box], line.from_row, to, rows.size());
        rows.push_back({port_of(chart_.boxes[line.to_box].left[line.to_row])});
    }
    void cut_start(const BoxLine& line) {
        const std::size_t from = stub(line, line.from_box, "from ");
        auto& rows = out_.boxes[from].right;
        add(line, from, rows.size(), place_[line.to_box], line.to_row);
        rows.push_back({port_of(chart_.boxes[line.from_box].right[line.from_row])});
    }

    const BoxChart& chart_;
    BoxChart out_;
    std::map<std::size_t, std::size_t> place_;
    std::map<std::pair<std::size_t, std::size_t>, std::size_t> stubs_;
};

// Lines that run from a layer up to `layer` to one behind it.
std::size_t lines_behind(const BoxChart& chart, const std::vector<std::size_t>& layers,
                         std::size_t layer) {
    return static_cast<std::size_t>(
        std::count_if(chart.lines.begin(), chart.lines.end(), [&](const BoxLine& line) {
            return layers[line.from_box] <= layer && layers[line.to_box] > layer;
        }));
}

// The fewest bands that fit on a sheet's width, and of those the ones that cut the fewest lines. A
// single layer that is wider stays as it is.
std::vector<BoxChart> bands_of(const BoxChart& chart) {
    if (lay_out(chart).width <= kSheetWidth) return {chart};
    const auto layers = layers_of_boxes(chart);
    const std::size_t count = *std::max_element(layers.begin(), layers.end()) + 1;
    struct Best {
        std::size_t bands = 0, cuts = 0, first = 0;  // the last band begins at layer `first`
    };
    const std::size_t none = count + 1;
    std::vector<Best> best(count + 1, {none, 0, 0});  // of the layers before
    best[0] = {0, 0, 0};
    for (std::size_t first = 0; first < count; ++first) {
        const std::size_t cuts =
            best[first].cuts + (first == 0 ? 0 : lines_behind(chart, layers, first - 1));
        for (std::size_t last = first; last < count; ++last) {
            if (last > first &&
                lay_out(Band(chart, layers, first, last).take()).width > kSheetWidth)
                break;
            Best& at = best[last + 1];
            if (std::pair(best[first].bands + 1, cuts) < std::pair(at.bands, at.cuts))
                at = {best[first].bands + 1, cuts, first};
        }
    }
    std::vector<BoxChart> out;
    for (std::size_t end = count; end > 0; end = best[end].first)
        out.push_back(Band(chart, layers, best[end].first, end - 1).take());
    std::reverse(out.begin(), out.end());
    return out;
}

// Drawings of like height stand side by side; a few keep their order.
std::vector<BoxChart> highest_first(std::vector<BoxChart> parts) {
    constexpr std::size_t few = 4;
    if (parts.size() <= few) return parts;
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t p = 0; p < parts.size(); ++p) order.emplace_back(-lay_out(parts[p]).height, p);
    std::sort(order.begin(), order.end());
    std::vector<BoxChart> out;
    for (const auto& [height, p] : order) out.push_back(std::move(parts[p]));
    return out;
}

}  // namespace

std::vector<std::vector<std::size_t>> joined_boxes(const BoxChart& chart, const std::set<std::size_t>& left_out) {
    std::vector<std::size_t> parent(chart.boxes.size());
    std::iota(parent.begin(), parent.end(), std::size_t{0});
    for (const auto& line : chart.lines) {
        if (left_out.contains(line.from_box) || left_out.contains(line.to_box)) continue;
        const auto a = root_of(parent, line.from_box), b = root_of(parent, line.to_box);
        parent[std::max(a, b)] = std::min(a, b);
    }
    std::map<std::size_t, std::vector<std::size_t>> parts;
    for (std::size_t b = 0; b < parent.size(); ++b)
        if (!left_out.contains(b)) parts[root_of(parent, b)].push_back(b);
    std::vector<std::vector<std::size_t>> out;
    for (auto& [root, boxes] : parts) out.push_back(std::move(boxes));
    return out;
}

std::vector<BoxChart> sheet_parts(const BoxChart& chart) {
    std::vector<BoxChart> out;
    for (const auto& whole : unjoined_parts(chart))
        for (const auto& band : bands_of(whole))
            for (const auto& part : highest_first(unjoined_parts(band)))
                for (auto& lower : lower_parts(part)) out.push_back(std::move(lower));
    return out;
}

std::string draw_parts(const BoxChart& chart, const std::string& id, const std::string& title,
                       const std::string& description) {
    const auto parts = sheet_parts(chart);
    std::string out = "<div class=\"drawings\">\n";
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
    return out + "</div>\n";
}

}  // namespace mastline
