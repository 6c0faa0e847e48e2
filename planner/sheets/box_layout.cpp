// SPDX-License-Identifier: Apache-2.0
// Layered layout (the steps of Sugiyama, Tagawa and Toda, 1981): longest-path layers, order within
// a layer by the mean of the neighbours, heights by least squares with the order kept, then upright
// tracks between the layers.
#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>

#include "planner/sheets/box_chart.hpp"
#include "planner/sheets/markup.hpp"

namespace mastline {

namespace {

constexpr double kBoxGap = 16;  // between boxes of one layer
constexpr double kTrackPitch = 5;
constexpr double kGapRoom = 20;  // between a layer and its nearest track
constexpr double kEdge = 12;     // around the drawing

// A box, or the room kept free where a bundle of lines passes through a layer.
struct Item {
    std::optional<std::size_t> box;
    std::size_t layer = 0;
    double height = 0;
    double y = 0;
};

// One line across one gap: from a height on the left item to a height on the right item.
struct Hop {
    std::size_t line = 0;
    std::size_t left = 0, right = 0;  // items
    double left_offset = 0, right_offset = 0;
    double track_x = 0;
};

class Layouter {
public:
    explicit Layouter(const BoxChart& chart) : chart_(chart) {}
    BoxLayout run();

private:
    void make_items(const std::vector<std::size_t>& layer_of);
    void make_hops(const std::vector<std::size_t>& layer_of);
    void order_layers();
    void sort_layer(std::size_t layer, bool by_left);
    void place_heights();
    void pull(std::size_t layer, bool left, bool right);
    std::vector<double> place_tracks(std::size_t gap);
    void place_columns(BoxLayout& out);
    void trace_paths(BoxLayout& out) const;

    double left_y(const Hop& hop) const { return items_[hop.left].y + hop.left_offset; }
    double right_y(const Hop& hop) const { return items_[hop.right].y + hop.right_offset; }
    // Bundles that pass many layers are to run straight.
    double pull_of(const Hop& hop) const {
        const bool from_room = !items_[hop.left].box, to_room = !items_[hop.right].box;
        return from_room && to_room ? 8 : from_room || to_room ? 2 : 1;
    }
    // The hop turns: it has an upright part.
    bool turns(const Hop& hop) const { return std::abs(left_y(hop) - right_y(hop)) > 0.1; }

    const BoxChart& chart_;
    std::vector<Item> items_;                       // boxes first, then the rooms of bundles
    std::vector<std::vector<std::size_t>> layers_;  // items from top to bottom
    std::vector<Hop> hops_;
    std::vector<std::vector<std::size_t>> from_left_, from_right_;  // hops at an item's sides
    std::vector<double> rank_;
    std::vector<double> column_x_, column_width_;
};

double box_width(const Box& box) {
    std::size_t left = 0, right = 0;
    for (const auto& row : box.left) left = std::max(left, column_count(row.text));
    for (const auto& row : box.right) right = std::max(right, column_count(row.text));
    const double rows =
        kTextAdvance * static_cast<double>(left + right) + (left && right ? 30 : 18);
    const double head = std::max(kTitleAdvance * static_cast<double>(column_count(box.title)),
                                 kTextAdvance * static_cast<double>(column_count(box.subtitle))) +
                        16;
    return std::ceil(std::max({rows, head, 60.0}));
}

double box_height(const Box& box) {
    return head_height(box) + kBoxFoot +
           kRowPitch * static_cast<double>(std::max(box.left.size(), box.right.size()));
}

void Layouter::make_items(const std::vector<std::size_t>& layer_of) {
    std::size_t deepest = 0;
    for (const std::size_t layer : layer_of) deepest = std::max(deepest, layer);
    layers_.resize(deepest + 1);
    for (std::size_t b = 0; b < chart_.boxes.size(); ++b) {
        items_.push_back({b, layer_of[b], box_height(chart_.boxes[b]), 0});
        layers_[layer_of[b]].push_back(b);
    }
}

// Lines between the same two boxes pass the layers between as one bundle.
void Layouter::make_hops(const std::vector<std::size_t>& layer_of) {
    std::map<std::pair<std::size_t, std::size_t>, std::vector<std::size_t>> bundles;
    for (std::size_t l = 0; l < chart_.lines.size(); ++l) {
        const auto& line = chart_.lines[l];
        if (layer_of[line.from_box] < layer_of[line.to_box])
            bundles[{line.from_box, line.to_box}].push_back(l);
    }
    for (const auto& [ends, lines] : bundles) {
        std::vector<std::size_t> stops{ends.first};
        for (std::size_t layer = layer_of[ends.first] + 1; layer < layer_of[ends.second]; ++layer) {
            stops.push_back(items_.size());
            layers_[layer].push_back(items_.size());
            items_.push_back(
                {std::nullopt, layer, kRowPitch * static_cast<double>(lines.size()), 0});
        }
        stops.push_back(ends.second);
        for (std::size_t s = 0; s + 1 < stops.size(); ++s)
            for (std::size_t i = 0; i < lines.size(); ++i) {
                const auto& line = chart_.lines[lines[i]];
                const double through = kRowPitch * (static_cast<double>(i) + 0.5);
                hops_.push_back({lines[i], stops[s], stops[s + 1],
                                 s == 0 ? row_middle(chart_.boxes[line.from_box], line.from_row) : through,
                                 s + 2 == stops.size()
                                     ? row_middle(chart_.boxes[line.to_box], line.to_row)
                                     : through,
                                 0});
            }
    }
    from_left_.resize(items_.size());
    from_right_.resize(items_.size());
    for (std::size_t h = 0; h < hops_.size(); ++h) {
        from_left_[hops_[h].right].push_back(h);
        from_right_[hops_[h].left].push_back(h);
    }
}

void Layouter::sort_layer(std::size_t layer, bool by_left) {
    std::map<std::size_t, double> wanted;
    for (const std::size_t item : layers_[layer]) {
        const auto& hops = by_left ? from_left_[item] : from_right_[item];
        double sum = 0;
        for (const std::size_t h : hops) {
            const Hop& hop = hops_[h];
            const std::size_t other = by_left ? hop.left : hop.right;
            const double offset = by_left ? hop.left_offset : hop.right_offset;
            sum += rank_[other] + offset / (items_[other].height + 1);
        }
        wanted[item] = hops.empty() ? rank_[item] : sum / static_cast<double>(hops.size());
    }
    std::stable_sort(layers_[layer].begin(), layers_[layer].end(),
                     [&](std::size_t a, std::size_t b) { return wanted[a] < wanted[b]; });
    for (std::size_t i = 0; i < layers_[layer].size(); ++i)
        rank_[layers_[layer][i]] = static_cast<double>(i);
}

void Layouter::order_layers() {
    rank_.resize(items_.size());
    for (const auto& layer : layers_)
        for (std::size_t i = 0; i < layer.size(); ++i) rank_[layer[i]] = static_cast<double>(i);
    for (int sweep = 0; sweep < 8; ++sweep) {
        for (std::size_t l = 1; l < layers_.size(); ++l) sort_layer(l, true);
        for (std::size_t l = layers_.size() - 1; l-- > 0;) sort_layer(l, false);
    }
    for (std::size_t l = 1; l < layers_.size(); ++l) sort_layer(l, true);
}

// Least squares under y[i+1] >= y[i] + height[i] + gap: pool adjacent violators.
void Layouter::pull(std::size_t layer, bool left, bool right) {
    struct Block {
        double sum, weight;
        std::size_t count;
        double mean() const { return sum / weight; }
    };
    std::vector<Block> blocks;
    double above = 0;
    for (const std::size_t item : layers_[layer]) {
        double sum = 0, weight = 0;
        const auto add = [&](double y, double w) { sum += y * w, weight += w; };
        if (left)
            for (const std::size_t h : from_left_[item])
                add(left_y(hops_[h]) - hops_[h].right_offset, pull_of(hops_[h]));
        if (right)
            for (const std::size_t h : from_right_[item])
                add(right_y(hops_[h]) - hops_[h].left_offset, pull_of(hops_[h]));
        if (weight == 0) add(items_[item].y, 1);
        blocks.push_back({sum - above * weight, weight, 1});
        while (blocks.size() > 1 && blocks[blocks.size() - 2].mean() > blocks.back().mean()) {
            const Block last = blocks.back();
            blocks.pop_back();
            blocks.back().sum += last.sum;
            blocks.back().weight += last.weight;
            blocks.back().count += last.count;
        }
        above += items_[item].height + kBoxGap;
    }
    std::size_t at = 0;
    above = 0;
    for (const auto& block : blocks)
        for (std::size_t i = 0; i < block.count; ++i, ++at) {
            Item& item = items_[layers_[layer][at]];
            item.y = std::round(block.mean()) + above;
            above += item.height + kBoxGap;
        }
}

void Layouter::place_heights() {
    for (const auto& layer : layers_) {
        double y = 0;
        for (const std::size_t item : layer) {
            items_[item].y = y;
            y += items_[item].height + kBoxGap;
        }
    }
    for (int sweep = 0; sweep < 6; ++sweep) {
        for (std::size_t l = layers_.size(); l-- > 0;) pull(l, false, true);
        for (std::size_t l = 1; l < layers_.size(); ++l) pull(l, true, sweep > 2);
    }
    double top = 0;
    for (const auto& item : items_) top = std::min(top, item.y);
    for (auto& item : items_) item.y += kEdge - top;
}

// Lines that go down turn in the order of the lowest first, lines that go up of the highest first,
// so that lines of one bundle do not cross; a track is shared by lines whose upright parts are
// apart.
std::vector<double> Layouter::place_tracks(std::size_t gap) {
    std::vector<std::size_t> turning;
    for (std::size_t h = 0; h < hops_.size(); ++h)
        if (items_[hops_[h].left].layer == gap && turns(hops_[h])) turning.push_back(h);
    const auto down = [&](std::size_t h) { return right_y(hops_[h]) > left_y(hops_[h]); };
    std::stable_sort(turning.begin(), turning.end(), [&](std::size_t a, std::size_t b) {
        if (down(a) != down(b)) return down(a);
        return down(a) ? left_y(hops_[a]) > left_y(hops_[b]) : left_y(hops_[a]) < left_y(hops_[b]);
    });
    struct Taken {
        double low, high;
        std::size_t track;
    };
    std::vector<Taken> taken;
    std::vector<double> tracks(hops_.size(), -1);
    for (const std::size_t h : turning) {
        const auto [low, high] = std::minmax({left_y(hops_[h]), right_y(hops_[h])});
        std::size_t track = 0;
        for (const auto& t : taken)
            if (t.low <= high + 2 && low <= t.high + 2) track = std::max(track, t.track + 1);
        taken.push_back({low, high, track});
        tracks[h] = static_cast<double>(track);
    }
    return tracks;
}

void Layouter::place_columns(BoxLayout& out) {
    column_width_.assign(layers_.size(), 0);
    for (const auto& item : items_)
        if (item.box)
            column_width_[item.layer] =
                std::max(column_width_[item.layer], box_width(chart_.boxes[*item.box]));
    double x = kEdge;
    for (std::size_t l = 0; l < layers_.size(); ++l) {
        column_x_.push_back(x);
        x += column_width_[l];
        if (l + 1 == layers_.size()) break;
        const auto tracks = place_tracks(l);
        double most = -1;
        for (std::size_t h = 0; h < hops_.size(); ++h) {
            if (tracks[h] < 0) continue;
            hops_[h].track_x = x + kGapRoom + kTrackPitch * tracks[h];
            most = std::max(most, tracks[h]);
        }
        x += 2 * kGapRoom + kTrackPitch * std::max(most, 0.0);
    }
    out.width = x + kEdge;
    out.boxes.resize(chart_.boxes.size());
    for (std::size_t b = 0; b < chart_.boxes.size(); ++b) {
        const Item& item = items_[b];
        const double width = box_width(chart_.boxes[b]);
        out.boxes[b] = {column_x_[item.layer] + std::floor((column_width_[item.layer] - width) / 2),
                        item.y, width, item.height};
    }
    for (const auto& item : items_) out.height = std::max(out.height, item.y + item.height + kEdge);
}

void Layouter::trace_paths(BoxLayout& out) const {
    out.paths.resize(chart_.lines.size());
    const auto row_y = [&](std::size_t box, std::size_t row) {
        return out.boxes[box].y + row_middle(chart_.boxes[box], row);
    };
    for (const auto& hop : hops_) {  // in order from left to right within each line
        auto& path = out.paths[hop.line];
        const auto& line = chart_.lines[hop.line];
        if (path.empty())
            path.push_back({out.boxes[line.from_box].x + out.boxes[line.from_box].width,
                            row_y(line.from_box, line.from_row)});
        if (!turns(hop)) continue;
        path.push_back({hop.track_x, left_y(hop)});
        path.push_back({hop.track_x, right_y(hop)});
    }
    for (std::size_t l = 0; l < out.paths.size(); ++l) {
        const auto& line = chart_.lines[l];
        if (out.paths[l].empty())
            out.paths[l].push_back({out.boxes[line.from_box].x + out.boxes[line.from_box].width,
                                    row_y(line.from_box, line.from_row)});
        out.paths[l].push_back({out.boxes[line.to_box].x, row_y(line.to_box, line.to_row)});
    }
}

BoxLayout Layouter::run() {
    BoxLayout out;
    if (chart_.boxes.empty()) return out;
    const auto layer_of = layers_of_boxes(chart_);
    make_items(layer_of);
    make_hops(layer_of);
    order_layers();
    place_heights();
    place_columns(out);
    trace_paths(out);
    return out;
}

}  // namespace

// Kahn's order; a box in a circle takes the layer that its other neighbours give it.
std::vector<std::size_t> layers_of_boxes(const BoxChart& chart) {
    const std::size_t count = chart.boxes.size();
    std::vector<std::size_t> layer(count, 0), waiting(count, 0);
    std::vector<std::vector<std::size_t>> next(count);
    for (const auto& line : chart.lines) {
        next[line.from_box].push_back(line.to_box);
        ++waiting[line.to_box];
    }
    std::vector<std::size_t> ready;
    for (std::size_t b = 0; b < count; ++b)
        if (waiting[b] == 0) ready.push_back(b);
    for (std::size_t i = 0; i < ready.size(); ++i)
        for (const std::size_t to : next[ready[i]]) {
            layer[to] = std::max(layer[to], layer[ready[i]] + 1);
            if (--waiting[to] == 0) ready.push_back(to);
        }
    std::vector<bool> is_fed(count, false);
    for (const auto& line : chart.lines) is_fed[line.to_box] = true;
    // A source stands next to what it feeds, not at the far left.
    for (auto it = ready.rbegin(); it != ready.rend(); ++it) {
        std::optional<std::size_t> least;
        for (const std::size_t to : next[*it])
            if (layer[to] > 0) least = std::min(least.value_or(layer[to] - 1), layer[to] - 1);
        if (!is_fed[*it] && least) layer[*it] = *least;
    }
    return layer;
}

BoxLayout lay_out(const BoxChart& chart) {
    return Layouter(chart).run();
}

}  // namespace mastline
