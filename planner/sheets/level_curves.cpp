// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/level_curves.hpp"

#include <algorithm>
#include <cmath>

#include "mastline/text/escape.hpp"
#include "planner/sheets/level_text.hpp"
#include "planner/sheets/markup.hpp"

namespace mastline {

namespace {

constexpr double kCurveLeft = 44, kCurveTop = 10, kPlotWidth = 290, kCurveHeight = 120, kCurveRight = 14, kBelow = 34;

// Band edges and carriers in the order of their frequencies.
std::vector<LevelRange> points_of(const PortLevel& level) {
    std::vector<LevelRange> out{level.low};
    out.insert(out.end(), level.carriers.begin(), level.carriers.end());
    out.push_back(level.high);
    std::stable_sort(out.begin(), out.end(),
                     [](const LevelRange& a, const LevelRange& b) { return a.at < b.at; });
    return out;
}

bool keeps_frequencies(const PortLevel& level) { return !level.optical && !level.user_bands; }

// The port to be shown beside the first: with the least margin, or the last where none is judged.
const PortLevel* tightest(const LanePath& path) {
    const PortLevel* out = nullptr;
    for (const auto* level : path.points) {
        if (!keeps_frequencies(*level)) continue;
        const bool worse = out == nullptr || !out->margin || (level->margin && *level->margin < *out->margin);
        if (worse) out = level;
    }
    return out;
}

class Curves {
public:
    Curves(const PortLevel& first, const PortLevel& second) : first_(first), second_(second) {
        low_ = high_ = first.low.nominal.dbm();
        for (const auto* level : {&first, &second})
            for (const auto& point : points_of(*level)) {
                low_ = std::min(low_, point.worst_low.dbm());
                high_ = std::max(high_, point.worst_high.dbm());
            }
        if (second.window) {
            low_ = std::min(low_, second.window->low.dbm());
            high_ = std::max(high_, second.window->high.dbm());
        }
        low_ = 10 * std::floor((low_ - 1) / 10);
        high_ = 10 * std::ceil((high_ + 1) / 10);
    }

    std::string draw(const std::string& id, const std::string& name) const {
        const double width = kCurveLeft + kPlotWidth + kCurveRight, height = kCurveTop + kCurveHeight + kBelow;
        std::string out = "<svg class=\"curves\" viewBox=\"0 0 " + coordinate(width) + " " +
                          coordinate(height) + "\" width=\"" + coordinate(width) + "\" height=\"" +
                          coordinate(height) + "\" role=\"img\" aria-labelledby=\"" + id +
                          "\"><title id=\"" + id + "\">" + escape_markup(name) + "</title>\n";
        draw_grid(out);
        draw_window(out);
        draw_curve(out, first_, "low");
        draw_curve(out, second_, "high");
        return out + "</svg>\n";
    }

private:
    double x(Frequency at) const {
        const double from = megahertz(first_.low.at), to = megahertz(first_.high.at);
        return to > from ? kCurveLeft + kPlotWidth * (megahertz(at) - from) / (to - from) : kCurveLeft;
    }
    double y(Level level) const {
        return kCurveTop + kCurveHeight * (high_ - level.dbm()) / (high_ - low_);
    }
    double floor() const { return kCurveTop + kCurveHeight; }

    void draw_grid(std::string& out) const {
        for (double level = low_; level <= high_ + 0.1; level += 10) {
            const double at = y(Level::dbm(level));
            out += svg_line(kCurveLeft, at, kCurveLeft + kPlotWidth, at, "grid");
            out += svg_text(kCurveLeft - 6, at + 3.2, "e", typographic(fixed_text(level, 0)));
        }
        for (const auto& point : points_of(second_))
            out += svg_line(x(point.at), floor(), x(point.at), floor() + 4, "rule");
        out += svg_text(kCurveLeft, floor() + 15, "", fixed_text(megahertz(first_.low.at), 0));
        out += svg_text(kCurveLeft + kPlotWidth, floor() + 15, "e",
                        fixed_text(megahertz(first_.high.at), 0) + " MHz");
    }
    void draw_window(std::string& out) const {
        if (!second_.window) return;
        out += "<rect class=\"window\" x=\"" + coordinate(kCurveLeft) + "\" y=\"" +
               coordinate(y(second_.window->high)) + "\" width=\"" + coordinate(kPlotWidth) +
               "\" height=\"" + coordinate(y(second_.window->low) - y(second_.window->high)) + "\"/>";
    }
    void draw_curve(std::string& out, const PortLevel& level, const std::string& style) const {
        std::string path;
        for (const auto& point : points_of(level)) {
            out += svg_line(x(point.at), y(point.worst_low), x(point.at), y(point.worst_high), "whisker");
            path += (path.empty() ? "M" : "L") + coordinate(x(point.at)) + " " + coordinate(y(point.nominal));
        }
        out += "<path class=\"edge " + style + "\" d=\"" + path + "\"><title>" +
               escape_markup(level_sentence(level)) + "</title></path>\n";
    }

    const PortLevel& first_;
    const PortLevel& second_;
    double low_ = 0, high_ = 0;
};

}  // namespace

std::string level_curves(const std::vector<LanePath>& paths) {
    std::string out;
    std::size_t number = 0;
    for (const auto& path : paths) {
        const PortLevel* second = tightest(path);
        if (second == nullptr || !keeps_frequencies(*path.points.front())) continue;
        const std::string name = "Lane " + to_text(path.lane) + ": " +
                                 to_text(path.points.front()->port) + " and " + to_text(second->port);
        out += "<figure class=\"curve\"><figcaption>" + escape_markup(name) + "</figcaption>" +
               Curves(*path.points.front(), *second)
                   .draw("curve-" + std::to_string(number++), name + ", level over frequency") +
               "</figure>\n";
    }
    if (out.empty()) return "";
    return "<h3>Level over frequency</h3><p>Full line: where the lane enters; broken line: the port "
           "with the least margin, its window as a band; ticks: band edges and carriers in use; "
           "upright strokes: worst case.</p>\n<div class=\"ladders\">" +
           out + "</div>\n";
}

}  // namespace mastline
