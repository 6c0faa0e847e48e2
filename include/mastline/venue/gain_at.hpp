// SPDX-License-Identifier: Apache-2.0
// Gain between the points of a table.
#pragma once

#include <span>

#include "mastline/venue/device_data.hpp"

namespace mastline {

// Straight between the points, the nearest point's beyond them, 0 dB without points.
// REQUIRES: points in order of frequency.
inline Gain gain_at(std::span<const GainPoint> points, Frequency f) {
    if (points.empty()) return Gain::db(0);
    if (points.size() == 1 || f <= points.front().at) return points.front().gain;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const auto &a = points[i - 1], &b = points[i];
        if (f > b.at) continue;
        const double share = static_cast<double>((f - a.at).hertz()) /
                             static_cast<double>((b.at - a.at).hertz());
        return a.gain + (b.gain - a.gain) * share;
    }
    return points.back().gain;
}

}  // namespace mastline
