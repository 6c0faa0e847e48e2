// SPDX-License-Identifier: Apache-2.0
#include "pcr_fit.hpp"

#include <algorithm>
#include <cmath>

namespace mastline {

namespace {

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

// Median of the slopes between samples half the stretch apart: long legs, so that rounding to
// whole ticks does not tilt the line, and a median, so that wild samples do not.
std::optional<double> middle_slope(const std::vector<ClockSample>& s) {
    std::vector<double> slopes;
    const std::size_t half = s.size() / 2;
    for (std::size_t i = 0; i + half < s.size(); ++i)
        if (const double dx = s[i + half].x - s[i].x; dx > 0) slopes.push_back((s[i + half].y - s[i].y) / dx);
    if (slopes.empty()) return std::nullopt;
    return median(std::move(slopes));
}

std::vector<double> off_line(const std::vector<ClockSample>& s, double slope) {
    std::vector<double> off;
    for (const auto& p : s) off.push_back((p.y - s[0].y) - slope * (p.x - s[0].x));
    const double centre = median(off);
    for (double& o : off) o -= centre;
    return off;
}

// Least squares over the samples that lie near the middle line, which sharpens it.
double sharpened(const std::vector<ClockSample>& s, const std::vector<double>& off, double slope) {
    std::vector<double> sizes;
    for (const double o : off) sizes.push_back(std::abs(o));
    const double near = std::max(4.0, 4 * median(std::move(sizes)));
    double n = 0, mx = 0, mo = 0, xx = 0, xo = 0;
    for (std::size_t i = 0; i < s.size(); ++i)
        if (std::abs(off[i]) <= near) n += 1, mx += s[i].x - s[0].x, mo += off[i];
    if (n < 3) return slope;
    mx /= n, mo /= n;
    for (std::size_t i = 0; i < s.size(); ++i) {
        if (std::abs(off[i]) > near) continue;
        const double dx = s[i].x - s[0].x - mx;
        xx += dx * dx, xo += dx * (off[i] - mo);
    }
    return xx > 0 ? slope + xo / xx : slope;
}

}  // namespace

std::optional<ClockFit> fit_clock(const std::vector<ClockSample>& samples) {
    if (samples.size() < 3) return std::nullopt;
    const auto first = middle_slope(samples);
    if (!first) return std::nullopt;
    const double slope = sharpened(samples, off_line(samples, *first), *first);
    ClockFit fit{.slope = slope, .deviations = off_line(samples, slope)};
    const auto [low, high] = std::minmax_element(fit.deviations.begin(), fit.deviations.end());
    fit.peak_to_peak = *high - *low;
    return fit;
}

}  // namespace mastline
