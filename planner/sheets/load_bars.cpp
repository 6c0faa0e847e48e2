// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/load_bars.hpp"

#include <algorithm>

#include "mastline/text/escape.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/network_chart.hpp"

namespace mastline {

namespace {

constexpr std::size_t kMost = 36;
constexpr double kBarPitch = 17, kNameWidth = 250, kBarWidth = 420, kPictureWidth = 930;

std::string draw_bar(const PlanIndex& index, const LinkLoad& load, double y) {
    const auto length = [&](BitRate rate) {
        return kBarWidth * std::clamp(share_of(rate, load.capacity), 0.0, 1.0);
    };
    const Fit fit = fit_of(load);
    const std::string bar_y = coordinate(y + 3);
    const auto rect = [&](std::string_view style, double width) {
        return "<rect class=\"" + std::string(style) + "\" x=\"" + coordinate(kNameWidth) +
               "\" y=\"" + bar_y + "\" width=\"" + coordinate(width) + "\" height=\"10\"/>";
    };
    const bool flooded = is_over_by_flooding(load);
    std::string text = fixed_text(100 * share_of(load.worst_mix, load.capacity), 1) +
                       (flooded ? " %, flooded " : " %, in a failure ") +
                       fixed_text(100 * share_of(flooded ? load.flooded : load.worst_failure, load.capacity), 1) + " %";
    if (fit == Fit::out) text += " OVER";
    if (fit == Fit::near) text += " OVER then";
    const double limit = kNameWidth + length(load.limit);
    return svg_text(kNameWidth - 6, y + 12, "e", shortened(direction_name(index, load, " \u2192 "), 40)) +
           rect("track", kBarWidth) + rect("failure", length(load.worst_failure)) +
           rect("fill " + std::string(to_text(fit)), length(load.worst_mix)) +
           svg_line(limit, y + 1, limit, y + 15, "limit") +
           svg_text(kNameWidth + kBarWidth + 8, y + 12, std::string(to_text(fit)), text) + "\n";
}

}  // namespace

std::string load_bars(const PlanIndex& index) {
    std::vector<const LinkLoad*> loads;
    for (const auto& load : index.plan().network.links) loads.push_back(&load);
    if (loads.empty()) return "";
    std::stable_sort(loads.begin(), loads.end(), [](const LinkLoad* a, const LinkLoad* b) {
        return std::pair(fit_of(*a), share_of(a->worst_mix, a->capacity)) >
               std::pair(fit_of(*b), share_of(b->worst_mix, b->capacity));
    });
    const std::size_t all = loads.size();
    if (all > kMost) loads.resize(kMost);
    std::string bars;
    for (std::size_t i = 0; i < loads.size(); ++i)
        bars += draw_bar(index, *loads[i], 2 + kBarPitch * static_cast<double>(i));
    const double height = 4 + kBarPitch * static_cast<double>(loads.size());
    std::string caption = "Link directions by load in the worst mix, fullest first";
    if (fit_of(*loads.front()) != Fit::good) caption += " after those over their limit";
    if (all > kMost)
        caption += ": the " + std::to_string(kMost) + " fullest of " + std::to_string(all);
    return "<figure class=\"bars\"><figcaption>" + caption +
           ". Solid: worst mix; hatched: worst single failure, or flooding; upright stroke: limit.</figcaption>"
           "<svg viewBox=\"0 0 " +
           coordinate(kPictureWidth) + " " + coordinate(height) + "\" width=\"" + coordinate(kPictureWidth) +
           "\" height=\"" + coordinate(height) + "\" role=\"img\" aria-label=\"" + caption +
           "\">\n" + bars + "</svg></figure>\n";
}

}  // namespace mastline
