// SPDX-License-Identifier: Apache-2.0
// Level against position, one ladder per lane, windows as bands. Light is no rung of a ladder: where
// a lane travels as light the lines break off, and the optical power stands below in figures.
#include <algorithm>
#include <cmath>

#include "mastline/text/escape.hpp"
#include "planner/sheets/lane_path.hpp"
#include "planner/sheets/level_curves.hpp"
#include "planner/sheets/level_text.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

constexpr double kLeft = 58, kTop = 14, kPlotHeight = 190, kPitch = 40, kRight = 12;
constexpr double kNameRows = 2;  // names of neighbours stand on different heights

// One ladder: maps levels to heights and draws from back to front.
class Ladder {
public:
    explicit Ladder(const LanePath& path) : path_(path) {
        low_ = high_ = path.points.front()->low.nominal.dbm();
        for (const auto* p : path.points) {
            if (p->optical) {
                has_light_ = true;
                continue;
            }
            for (const auto* edge : {&p->low, &p->high}) {
                low_ = std::min(low_, edge->worst_low.dbm());
                high_ = std::max(high_, edge->worst_high.dbm());
            }
            if (!p->window) continue;
            low_ = std::min(low_, p->window->low.dbm());
            high_ = std::max(high_, p->window->high.dbm());
        }
        low_ = 10 * std::floor((low_ - 1) / 10);
        high_ = 10 * std::ceil((high_ + 1) / 10);
    }

    std::string draw(const std::string& id) const {
        std::string out;
        draw_grid(out);
        draw_devices(out);
        draw_windows(out);
        draw_whiskers(out);
        draw_edge(out, false);
        draw_edge(out, true);
        draw_figures(out);
        const std::string name =
            "Level ladder of lane " + to_text(path_.lane) + " to " + to_text(path_.input);
        return "<svg class=\"ladder\" viewBox=\"0 0 " + coordinate(width()) + " " +
               coordinate(height()) + "\" width=\"" + coordinate(width()) + "\" height=\"" +
               coordinate(height()) + "\" role=\"img\" aria-labelledby=\"" + id +
               "\"><title id=\"" + id + "\">" + escape_markup(name) + "</title>\n" + out +
               "</svg>\n";
    }

private:
    double x(std::size_t i) const { return kLeft + kPitch * (static_cast<double>(i) + 0.5); }
    double y(Level level) const {
        return kTop + kPlotHeight * (high_ - level.dbm()) / (high_ - low_);
    }
    double width() const {
        return kLeft + kPitch * static_cast<double>(path_.points.size()) + kRight;
    }
    double floor() const { return kTop + kPlotHeight; }
    double names_top() const { return floor() + (has_light_ ? 53 : 41); }
    double height() const { return names_top() - 11 + 13 * kNameRows + 8; }

    void draw_grid(std::string& out) const {
        for (double level = low_; level <= high_ + 0.1; level += 10) {
            const double at = y(Level::dbm(level));
            out += svg_line(kLeft, at, width() - kRight, at, "grid");
            out += svg_text(kLeft - 6, at + 3.2, "e", typographic(fixed_text(level, 0)));
        }
        out += svg_text(kLeft - 6, floor() + 14, "e", "low edge");
        out += svg_text(kLeft - 6, floor() + 26, "e", "high");
        if (has_light_) out += svg_text(kLeft - 6, floor() + 38, "e", "light");
    }

    // Consecutive points of one device share a shaded ground and one name.
    void draw_devices(std::string& out) const {
        std::size_t group = 0;
        for (std::size_t i = 0; i < path_.points.size(); ++group) {
            std::size_t end = i + 1;
            const std::string& name = path_.points[i]->port.device;
            while (end < path_.points.size() && path_.points[end]->port.device == name) ++end;
            if (end - i > 1)
                out += "<rect class=\"ground\" x=\"" + coordinate(x(i)) + "\" y=\"" +
                       coordinate(kTop) + "\" width=\"" + coordinate(x(end - 1) - x(i)) +
                       "\" height=\"" + coordinate(kPlotHeight) + "\"/>";
            const double middle = (x(i) + x(end - 1)) / 2;
            const double room = 2 * kPitch * 1.5 - 6;
            out += svg_text(middle, names_top() + 13 * static_cast<double>(group % 2), "m",
                            shortened(name, static_cast<std::size_t>(room / 5.8)));
            i = end;
        }
    }

    void draw_windows(std::string& out) const {
        for (std::size_t i = 0; i < path_.points.size(); ++i) {
            const auto& window = path_.points[i]->window;
            if (!window || path_.points[i]->optical) continue;
            out += "<rect class=\"window\" x=\"" + coordinate(x(i) - 15) + "\" y=\"" +
                   coordinate(y(window->high)) + "\" width=\"30\" height=\"" +
                   coordinate(y(window->low) - y(window->high)) + "\"/>";
        }
    }

    void draw_whiskers(std::string& out) const {
        for (std::size_t i = 0; i < path_.points.size(); ++i) {
            if (path_.points[i]->optical) continue;
            for (const auto& [edge, shift] :
                 {std::pair{&path_.points[i]->low, -3.0}, std::pair{&path_.points[i]->high, 3.0}})
                out += svg_line(x(i) + shift, y(edge->worst_low), x(i) + shift, y(edge->worst_high),
                                "whisker");
        }
    }

    void draw_edge(std::string& out, bool high) const {
        std::string path, marks;
        bool is_broken = true;
        for (std::size_t i = 0; i < path_.points.size(); ++i) {
            if (path_.points[i]->optical) {
                is_broken = true;
                continue;
            }
            const auto& edge = high ? path_.points[i]->high : path_.points[i]->low;
            const double at_x = x(i) + (high ? 3 : -3), at_y = y(edge.nominal);
            path += (is_broken ? "M" : "L") + coordinate(at_x) + " " + coordinate(at_y);
            is_broken = false;
            marks += high ? "M" + coordinate(at_x - 2.5) + " " + coordinate(at_y - 2.5) + "h5v5h-5z"
                          : "M" + coordinate(at_x - 3) + " " + coordinate(at_y) +
                                "a3 3 0 1 0 6 0a3 3 0 1 0 -6 0z";
        }
        const std::string style = high ? "high" : "low";
        out += "<path class=\"edge " + style + "\" d=\"" + path + "\"/><path class=\"mark " +
               style + "\" d=\"" + marks + "\"/>\n";
    }

    void draw_figures(std::string& out) const {
        for (std::size_t i = 0; i < path_.points.size(); ++i) {
            const auto* p = path_.points[i];
            const std::string style = "m " + std::string(to_text(fit_of(p->margin)));
            if (p->optical) {
                out += svg_text(x(i), floor() + 38, style,
                                typographic(fixed_text(p->low.nominal.dbm(), 1)));
                continue;
            }
            out += svg_text(x(i), floor() + 14, style,
                            typographic(fixed_text(p->low.nominal.dbm(), 1)));
            out += svg_text(x(i), floor() + 26, style,
                            typographic(fixed_text(p->high.nominal.dbm(), 1)));
        }
    }

    const LanePath& path_;
    double low_ = 0, high_ = 0;
    bool has_light_ = false;
};

std::string ladder_figure(const LanePath& path, std::size_t number) {
    const auto margin = path.points.back()->margin;
    std::string caption = "Lane " + to_text(path.lane) + " to " + to_text(path.input);
    if (margin) caption += ": " + margin_text(margin) + " dB at the input";
    return "<figure class=\"ladder\"><figcaption>" + escape_markup(caption) + "</figcaption>" +
           Ladder(path).draw("ladder-" + std::to_string(number)) + "</figure>\n";
}

}  // namespace

Sheet ladder_sheet(const PlanIndex& index) {
    Sheet sheet{"ladders", "Level ladders", "", Scale::not_to_scale};
    std::string figures, missing;
    std::size_t number = 0;
    const auto paths = tightest_paths(index);
    for (const auto& path : paths) {
        if (path.points.empty())
            missing += (missing.empty() ? "" : ", ") + to_text(path.lane);
        else
            figures += ladder_figure(path, number++);
    }
    if (number > 0)
        sheet.body +=
            "<p>Each lane on its way to the card input where its margin is least. Ring and "
            "full line: low band edge; square and broken line: high band edge; upright "
            "strokes: worst case; boxes: windows of inputs. Levels in dBm per carrier. Where a "
            "lane travels as light the lines break off; the optical power in dBm stands below.</p>"
            "<div class=\"ladders\">" +
            figures + "</div>\n" + level_curves(paths);
    if (!missing.empty())
        sheet.body += "<p>Lanes that reach no card input: " + escape_markup(missing) + ".</p>\n";
    if (sheet.body.empty()) sheet.body = "<p>The venue has no feeds.</p>\n";
    for (const auto& table : {worst_noise_table(index), amplifier_table(index)})
        if (!table.rows.empty()) sheet.body += to_html(table);
    return sheet;
}

}  // namespace mastline
