// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <vector>

#include "mastline/text/escape.hpp"
#include "mastline/text/joined.hpp"
#include "mastline/verdict/judge.hpp"
#include "probe/report/drawn_numbers.hpp"
#include "probe/report/page_style.hpp"
#include "probe/report/terminal_text.hpp"
#include "probe/report/time_charts.hpp"

namespace mastline {

namespace {

constexpr std::size_t kMostLanes = 40, kMostShared = 12;
constexpr int kLeft = 210, kWide = 1000, kLane = 18, kTop = 34;

// One cell of a lane.
struct LaneCell {
    FaultKinds kinds;
    std::uint64_t faults = 0;
    bool silent = false;
    bool any() const { return silent || kinds.any(); }
};

struct Lane {
    std::size_t verdict = 0;
    std::vector<LaneCell> cells;
};

enum class Shape : std::uint8_t { silent, lost, stream, clock, other };
constexpr std::array kShapes{Shape::silent, Shape::lost, Shape::stream, Shape::clock, Shape::other};

Shape shape_of(FlowFault kind) {
    switch (kind) {
        case FlowFault::loss:
        case FlowFault::order:
        case FlowFault::repeats: return Shape::lost;
        case FlowFault::pcr_interval:
        case FlowFault::pcr_continuity: return Shape::clock;
        case FlowFault::source: return Shape::other;
        case FlowFault::steady: return Shape::silent;
        default: return Shape::stream;
    }
}

std::string_view words_of(Shape shape) {
    switch (shape) {
        case Shape::silent: return "nothing arrived";
        case Shape::lost: return "datagrams lost, out of order or repeated";
        case Shape::stream: return "faults of the transport stream";
        case Shape::clock: return "faults of its clock (PCR)";
        case Shape::other: return "another source";
    }
    return "";
}

// A mark of that shape in a lane of 14 units; each differs in form, not in colour alone.
std::string mark(Shape shape, double x, double width, double y) {
    const auto box = [&](const char* name, double high, double from) {
        return std::string("<rect class=\"") + name + "\" x=\"" + drawn_number(x) + "\" y=\"" + drawn_number(y + from) + "\" width=\"" + drawn_number(std::max(width, 3.0)) +
               "\" height=\"" + drawn_number(high) + "\"/>";
    };
    const double middle = x + std::max(width, 3.0) / 2;
    switch (shape) {
        case Shape::silent: return box("silent", 6, 4);
        case Shape::lost: return box("lost", 14, 0);
        case Shape::stream: return box("stream", 7, 7);
        case Shape::clock:
            return "<path class=\"clock\" d=\"M" + drawn_number(middle) + " " + drawn_number(y) + "l4 7h-8z\"/>";
        case Shape::other:
            return "<path class=\"other\" d=\"M" + drawn_number(middle) + " " + drawn_number(y) + "l4 4-4 4-4-4z\"/>";
    }
    return "";
}

class Timeline {
public:
    explicit Timeline(const LineupReport& report) : report_(report) {
        width_ = FlowCourse::kFinest;
        for (const auto& seen : report.observations)
            if (seen.course) width_ = std::max(width_, seen.course->width);
        first_ = *report.began / width_;
        count_ = static_cast<std::size_t>((*report.began + report.watched) / width_ - first_) + 1;
        for (const auto i : worst_first(report.verdicts)) add_lane(i);
    }

    std::string draw() {
        if (lanes_.empty()) return "<p>Nothing befell any channel while it was watched.</p>\n";
        const auto together = find_together();
        const std::size_t shown = std::min(lanes_.size(), kMostLanes);
        const int high = kTop + static_cast<int>(shown) * kLane + 4;
        std::string out = key() + wide_region("Events over time", "wide time") + "<svg viewBox=\"0 0 " + std::to_string(kLeft + kWide + 20) + " " + std::to_string(high) +
                          "\" role=\"group\" aria-label=\"What befell the channels over time\">" + axis(high);
        for (std::size_t i = 0; i < shown; ++i) out += draw_lane(lanes_[i], kTop + static_cast<int>(i) * kLane);
        for (std::size_t i = 0; i < together.size(); ++i) out += draw_together(together[i], letter(i), high);
        out += "</svg></div>\n";
        if (lanes_.size() > shown) out += "<p>" + std::to_string(lanes_.size() - shown) + " more channels are not drawn.</p>\n";
        return out + list(together);
    }

private:
    // What began in several channels within the same cell.
    struct Together {
        std::size_t cell = 0;
        std::vector<std::size_t> verdicts;
        FaultKinds kinds;
        bool silent = false;
    };

    Duration start_of(std::size_t cell) const { return (first_ + static_cast<std::int64_t>(cell)) * width_; }
    double x_of(std::size_t cell) const {
        return kLeft + std::clamp(drawn_seconds(start_of(cell) - *report_.began) / drawn_seconds(report_.watched), 0.0, 1.0) * kWide;
    }
    bool is_whole(std::size_t cell) const {
        return start_of(cell) >= *report_.began && start_of(cell) + width_ <= *report_.began + report_.watched;
    }

    void add_lane(std::size_t verdict) {
        const auto* seen = observation_of(report_, report_.verdicts[verdict]);
        if (seen != nullptr && seen->datagrams > 0 && !seen->course) return;  // frames without times
        Lane lane{verdict, std::vector<LaneCell>(count_)};
        std::vector<bool> heard(count_);
        std::size_t first_heard = count_;
        const std::size_t known = seen == nullptr || !seen->course ? 0 : seen->course->cells.size();
        for (std::size_t i = 0; i < known; ++i) {
            const auto& cell = seen->course->cells[i];
            const auto at = (seen->course->start + static_cast<std::int64_t>(i) * seen->course->width) / width_ - first_;
            if (at < 0 || at >= static_cast<std::int64_t>(count_)) continue;
            auto& there = lane.cells[static_cast<std::size_t>(at)];
            there.kinds.add(cell.kinds);
            there.faults += cell.faults;
            if (cell.bytes == 0) continue;
            heard[static_cast<std::size_t>(at)] = true;
            first_heard = std::min(first_heard, static_cast<std::size_t>(at));
        }
        // Until a join takes effect nothing can arrive.
        const bool in_time = first_heard < count_ && start_of(first_heard) - *report_.began <= kFirstArrivalLimit;
        for (std::size_t i = in_time ? first_heard : 0; i < count_; ++i) lane.cells[i].silent = !heard[i] && is_whole(i);
        if (std::ranges::any_of(lane.cells, &LaneCell::any)) lanes_.push_back(std::move(lane));
    }

    std::vector<Together> find_together() const {
        std::vector<Together> out;
        for (std::size_t cell = 0; cell < count_; ++cell) {
            Together here{cell, {}, {}, false};
            for (const auto& lane : lanes_) {
                const auto& there = lane.cells[cell];
                if (!there.any() || (cell > 0 && lane.cells[cell - 1].any())) continue;
                here.verdicts.push_back(lane.verdict);
                here.kinds.add(there.kinds);
                here.silent = here.silent || there.silent;
            }
            if (here.verdicts.size() > 1) out.push_back(std::move(here));
        }
        std::ranges::stable_sort(out, std::greater{}, [](const Together& t) { return t.verdicts.size(); });
        if (out.size() > kMostShared) out.resize(kMostShared);
        std::ranges::sort(out, {}, &Together::cell);
        return out;
    }

    static std::string letter(std::size_t i) { return std::string(1, static_cast<char>('A' + i)); }

    std::string channel(std::size_t verdict) const {
        return channel_text(report_.verdicts[verdict].channel, report_.verdicts[verdict].copy);
    }
    std::string time_text(std::size_t cell) const {
        return fixed_text(std::max(0.0, drawn_seconds(start_of(cell) - *report_.began)), width_ < std::chrono::seconds(1) ? 2 : 0) + " s";
    }

    static std::string checks(FaultKinds kinds, bool silent) {
        std::vector<std::string> names;
        if (silent) names.emplace_back("nothing arrives");
        for (std::size_t k = 0; k < kFlowFaults; ++k)
            if (kinds.has(static_cast<FlowFault>(k))) names.emplace_back(check_of(static_cast<FlowFault>(k)));
        return joined(names);
    }

    std::string key() const {
        std::string out = "<ul class=\"key\">";
        for (const auto shape : kShapes)
            out += "<li><svg viewBox=\"-2 0 12 14\" aria-hidden=\"true\" class=\"time\">" + mark(shape, 0, 8, 0) + "</svg> " + std::string(words_of(shape)) + "</li>";
        return "<div class=\"time\">" + out + "</ul></div>\n";
    }

    // Some six to twelve times along the watch.
    std::string axis(int high) const {
        const double length = drawn_seconds(report_.watched);
        double step = 0.1;
        for (std::size_t i = 0; length / step > 12; ++i) step *= std::array{2.0, 2.5, 2.0}[i % 3];
        std::string out;
        for (int i = 0; i * step <= length + 1e-9; ++i) {
            const std::string x = drawn_number(kLeft + i * step / length * kWide);
            out += "<line class=\"grid\" x1=\"" + x + "\" x2=\"" + x + "\" y1=\"" + std::to_string(kTop - 4) + "\" y2=\"" + std::to_string(high) +
                   "\"/><text class=\"tick\" x=\"" + x + "\" y=\"" + std::to_string(kTop - 8) + "\">" + fixed_text(i * step, step < 1 ? 1 : 0) + " s</text>";
        }
        return out;
    }

    std::string draw_lane(const Lane& lane, int y) const {
        const Verdict& v = report_.verdicts[lane.verdict];
        std::string out = "<a href=\"#v-" + std::to_string(lane.verdict) + "\"><text x=\"0\" y=\"" + std::to_string(y + 13) + "\">" +
                          escape_markup(clipped(channel(lane.verdict) + " " + plain_line(v.name), 30, {80, false, true})) + "</text></a><rect class=\"row\" x=\"" +
                          std::to_string(kLeft) + "\" y=\"" + std::to_string(y) + "\" width=\"" + std::to_string(kWide) + "\" height=\"16\"/>";
        for (const auto shape : kShapes) out += draw_shape(lane, shape, y + 1);
        return out;
    }

    static bool shows(const LaneCell& there, Shape shape) {
        if (shape == Shape::silent && there.silent) return true;
        for (std::size_t k = 0; k < kFlowFaults; ++k)
            if (there.kinds.has(static_cast<FlowFault>(k)) && shape_of(static_cast<FlowFault>(k)) == shape) return true;
        return false;
    }

    // Neighbouring cells are one mark.
    std::string draw_shape(const Lane& lane, Shape shape, int y) const {
        std::string out;
        for (std::size_t from = 0; from < count_; ++from) {
            if (!shows(lane.cells[from], shape)) continue;
            std::size_t end = from;
            LaneCell all;
            while (end < count_ && shows(lane.cells[end], shape)) {
                all.kinds.add(lane.cells[end].kinds);
                all.faults += lane.cells[end].faults;
                all.silent = all.silent || lane.cells[end].silent;
                ++end;
            }
            out += "<g><title>" + escape_markup(channel(lane.verdict) + ", from " + time_text(from) + " to " + time_text(end) + ": " + checks(all.kinds, all.silent) +
                   (all.faults > 0 ? ", " + std::to_string(all.faults) + " in all" : "")) + "</title>" + mark(shape, x_of(from), x_of(end) - x_of(from), y) + "</g>";
            from = end;
        }
        return out;
    }

    std::string draw_together(const Together& here, const std::string& name, int high) const {
        const std::string x = drawn_number(x_of(here.cell));
        return "<line class=\"together\" x1=\"" + x + "\" x2=\"" + x + "\" y1=\"12\" y2=\"" + std::to_string(high) + "\"/><text class=\"shared\" x=\"" + x +
               "\" y=\"11\">" + name + "</text>";
    }

    std::string list(const std::vector<Together>& together) const {
        if (together.empty()) return {};
        std::string out = "<h3>Began in several channels at once</h3>\n<ul>\n";
        for (std::size_t i = 0; i < together.size(); ++i) {
            std::vector<std::string> channels;
            for (const auto verdict : together[i].verdicts) channels.push_back(channel(verdict));
            const std::size_t all = channels.size();
            if (all > 20) channels.resize(20);
            out += "<li>" + escape_markup(letter(i) + ", at " + time_text(together[i].cell) + ": " + std::to_string(all) + " channels, " + joined(channels) +
                   (all > 20 ? " and " + std::to_string(all - 20) + " more" : "") + ": " + checks(together[i].kinds, together[i].silent)) + "</li>\n";
        }
        return out + "</ul>\n";
    }

    const LineupReport& report_;
    Duration width_{};
    std::int64_t first_ = 0;   // number of the first cell since the epoch
    std::size_t count_ = 0;    // cells in the watch
    std::vector<Lane> lanes_;  // with anything in them, worst first
};

}  // namespace

std::string event_timeline(const LineupReport& report) {
    if (!report.began || report.watched <= Duration{}) return {};
    return "<h2>What befell the channels, and when</h2>\n" + Timeline(report).draw();
}

}  // namespace mastline
