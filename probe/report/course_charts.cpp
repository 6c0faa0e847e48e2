// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <optional>
#include <vector>

#include "probe/report/drawn_numbers.hpp"
#include "probe/report/time_charts.hpp"

namespace mastline {

namespace {

struct Curve {
    std::string path;
    double least = 0, most = 0;
    bool any = false;
};

// Values of cells, none where there is none, as a line broken there; the greatest is at the top of 24 units, nothing
// at the bottom.
Curve curve_of(const std::vector<std::optional<double>>& values, const CourseObservation& course, const LineupReport& report) {
    Curve out;
    for (const auto& value : values) {
        if (!value) continue;
        out.least = out.any ? std::min(out.least, *value) : *value;
        out.most = std::max(out.most, *value);
        out.any = true;
    }
    bool joined_on = false;
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (values[i]) {
            const double at = drawn_seconds(course.start - *report.began) + drawn_seconds(course.width) * (static_cast<double>(i) + 0.5);
            const double high = out.most > 0 ? *values[i] / out.most : 0;
            out.path += std::string(joined_on ? "L" : "M") + drawn_number(at / drawn_seconds(report.watched) * 120) + " " + drawn_number(23 - high * 21);
            if (!joined_on) out.path += "h.1";  // a point on its own is seen
        }
        joined_on = values[i].has_value();
    }
    return out;
}

// Cells in which nothing was heard.
std::string hushes(const CourseObservation& course, const LineupReport& report) {
    std::string out;
    for (std::size_t i = 0; i < course.cells.size(); ++i) {
        if (course.cells[i].bytes > 0) continue;
        const double at = drawn_seconds(course.start - *report.began) + drawn_seconds(course.width) * static_cast<double>(i);
        out += "<rect class=\"hush\" x=\"" + drawn_number(at / drawn_seconds(report.watched) * 120) + "\" y=\"21\" width=\"" +
               drawn_number(drawn_seconds(course.width) / drawn_seconds(report.watched) * 120) + "\" height=\"3\"/>";
    }
    return out;
}

std::string chart(const Curve& curve, const std::string& under, const std::string& what, const std::string& unit, int digits) {
    const std::string least = fixed_text(curve.least, digits), most = fixed_text(curve.most, digits);
    const std::string span = (least == most ? most : least + " to " + most) + " " + unit;
    return "<svg viewBox=\"0 0 120 24\" preserveAspectRatio=\"none\" role=\"img\" aria-label=\"" + what + " over time, " + span + "\">" + under +
           "<path d=\"" + curve.path + "\"/></svg><span>" + span + "</span>";
}

}  // namespace

std::string course_charts(const CourseObservation& course, const LineupReport& report) {
    if (!report.began || report.watched <= Duration{}) return {};
    std::vector<std::optional<double>> rates(course.cells.size()), factors(course.cells.size());
    for (std::size_t i = 0; i < course.cells.size(); ++i) {
        const auto& cell = course.cells[i];
        const bool whole = i > 0 && i + 1 < course.cells.size();
        if (whole && cell.bytes > 0) rates[i] = static_cast<double>(course.rate(i).bits_per_second()) / 1e6;
        if (cell.delay_factor > Duration{}) factors[i] = static_cast<double>(cell.delay_factor.count()) / 1e6;
    }
    // A second may end only in some of the cells: the line goes on between them.
    for (std::size_t i = 1; i < factors.size(); ++i)
        if (!factors[i] && factors[i - 1] && course.cells[i].bytes > 0) factors[i] = factors[i - 1];
    const auto rate = curve_of(rates, course, report), factor = curve_of(factors, course, report);
    std::string out;
    if (rate.any) out += chart(rate, hushes(course, report), "rate", "Mbit/s", 2);
    if (factor.any) out += chart(factor, "", "delay factor", "ms", 1);
    return out.empty() ? out : "<div class=\"over\">" + out + "</div>";
}

}  // namespace mastline
