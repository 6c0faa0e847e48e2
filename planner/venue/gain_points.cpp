// SPDX-License-Identifier: Apache-2.0
#include "planner/venue/gain_points.hpp"

#include <algorithm>

namespace mastline {

namespace {

// None and a finding when the text is no gain point.
std::optional<GainPoint> parse_point(TableReader& reader, std::string_view key,
                                     const std::string& text, const Place& place) {
    const auto at = text.find(" at ");
    const auto gain = parse_gain(text.substr(0, at));
    const auto fail = [&](const std::string& message) {
        reader.fault("file.bad-quantity", place, "'" + std::string(key) + "': " + message,
                     "write \"7 dB\", or a list like \"6.5 dB at 950 MHz\"");
        return std::nullopt;
    };
    if (!gain) return fail(gain.error().message);
    if (at == std::string::npos) return GainPoint{Frequency{}, *gain, true};
    const auto frequency = parse_frequency(std::string_view(text).substr(at + 4));
    if (!frequency) return fail(frequency.error().message);
    return GainPoint{*frequency, *gain, false};
}

}  // namespace

std::vector<GainPoint> read_gains(TableReader& reader, std::string_view key) {
    std::vector<GainPoint> points;
    for (const auto& [text, place] : reader.texts(key))
        if (const auto point = parse_point(reader, key, text, place)) points.push_back(*point);
    std::stable_sort(points.begin(), points.end(),
                     [](const GainPoint& a, const GainPoint& b) { return a.at < b.at; });
    for (std::size_t i = 1; i < points.size(); ++i)
        if (points[i].at == points[i - 1].at || points[i].flat) {
            reader.fault("file.bad-list", reader.place_of(key),
                         "'" + std::string(key) + "' has two gains for one frequency",
                         "give one flat gain, or each point its own frequency with \"at\"");
            points.resize(1);
        } else if (points[i - 1].flat) {
            reader.fault("file.bad-list", reader.place_of(key),
                         "'" + std::string(key) + "' mixes a flat gain with points",
                         "give one flat gain, or each point its own frequency with \"at\"");
            points.resize(1);
        }
    return points;
}

std::vector<GainPoint> read_losses(TableReader& reader, std::string_view key) {
    auto points = read_gains(reader, key);
    for (auto& point : points) {
        if (point.gain < Gain::db(0)) {
            reader.fault("file.out-of-range", reader.place_of(key),
                         "'" + std::string(key) + "' is " + to_text(point.gain),
                         "a loss is written without sign and is at least 0 dB");
            point.gain = Gain::db(0);
        }
        point.gain = -point.gain;
    }
    return points;
}

}  // namespace mastline
