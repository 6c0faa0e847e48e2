// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/level_text.hpp"

#include <algorithm>

#include "planner/sheets/markup.hpp"

namespace mastline {

namespace {

std::string bare(Level level) {
    return typographic(fixed_text(level.dbm(), 1));
}

std::string edge_sentence(const LevelRange& edge) {
    return bare(edge.nominal) + " dBm at " + to_text(edge.at) + " (worst case " +
           bare(edge.worst_low) + " to " + bare(edge.worst_high) + ")";
}

}  // namespace

std::string_view to_text(SettingKind kind) {
    switch (kind) {
        case SettingKind::trim:
            return "trim";
        case SettingKind::slope:
            return "slope";
        case SettingKind::pad:
            return "pad";
        case SettingKind::tap:
            return "tap";
    }
    return "";
}

std::string level_pair(std::span<const PortLevel* const> levels) {
    if (levels.empty()) return "";
    if (levels[0]->optical) return "light " + bare(levels[0]->low.nominal);
    if (levels.size() == 1)
        return bare(levels[0]->low.nominal) + "/" + bare(levels[0]->high.nominal);
    Level low = levels[0]->low.nominal, high = low;
    for (const auto* level : levels) {
        low = std::min({low, level->low.nominal, level->high.nominal});
        high = std::max({high, level->low.nominal, level->high.nominal});
    }
    return bare(low) + "\u2026" + bare(high);
}

std::string margin_text(std::optional<Gain> margin) {
    if (!margin) return "";
    const std::string figure = "margin " + typographic(fixed_text(margin->db(), 1));
    switch (fit_of(margin)) {
        case Fit::out:
            return figure + " OUT";
        case Fit::near:
            return figure + " near";
        default:
            return figure;
    }
}

std::string level_sentence(const PortLevel& level) {
    std::string out = to_text(level.port) + " lane " + to_text(level.lane) + ": ";
    if (level.optical)
        out += "optical power " + bare(level.low.nominal) + " dBm (worst case " +
               bare(level.low.worst_low) + " to " + bare(level.low.worst_high) + ")";
    else
        out += edge_sentence(level.low) + ", " + edge_sentence(level.high);
    if (level.window)
        out += "; window " + bare(level.window->low) + " to " + bare(level.window->high) + " dBm";
    if (level.margin) out += ", " + margin_text(level.margin) + " dB";
    return out;
}

}  // namespace mastline
