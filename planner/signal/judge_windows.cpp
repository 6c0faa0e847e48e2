// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <map>

#include "planner/signal/judge.hpp"

namespace mastline {

namespace {

struct Extremes {
    LevelRange lowest, highest;  // the ranges with the least worst_low and the greatest worst_high
};

Extremes extremes_of(const PortLevel& level) {
    Extremes out{level.low, level.low};
    const auto take = [&](const LevelRange& r) {
        if (r.worst_low < out.lowest.worst_low) out.lowest = r;
        if (r.worst_high > out.highest.worst_high) out.highest = r;
    };
    take(level.high);
    for (const auto& carrier : level.carriers) take(carrier);
    return out;
}

std::string subject_of(const PortLevel& level) {
    return to_text(level.port) + " lane " + std::to_string(level.conductor.value) + " (" +
           to_text(level.lane) + ")";
}

// The smallest pad that brings the level down far enough: from the stock, else in whole dB.
Gain pad_for(Gain excess, const Venue& venue) {
    std::optional<Gain> best;
    for (const auto& pad : venue.stock.pads)
        if (pad.count > 0 && pad.loss - pad.tolerance >= excess && (!best || pad.loss < *best))
            best = pad.loss;
    return best.value_or(Gain::db(std::ceil(excess.db() - 1e-9)));
}

std::string cure_above(const PortLevel& level, Gain excess, Gain room_below, const Venue& venue) {
    if (room_below < excess)
        return "its levels lie too far apart for this window: level the band with slope or an "
               "equaliser, or lessen tolerances";
    const auto pad = pad_for(excess, venue);
    if (level.optical) return "insert an optical pad of " + to_text(pad) + " before " + level.port.device;
    return "insert a pad of " + number_text(pad.db(), 1) + " dB before " + level.port.device;
}

std::string cure_below(const PortLevel& level, Gain lack, Gain room_above) {
    if (room_above < lack)
        return "its levels lie too far apart for this window: level the band with slope or an "
               "equaliser, or lessen tolerances";
    return "take out loss, or put a gain of " + number_text(std::ceil(lack.db() * 10 - 1e-9) / 10, 1) +
           " dB before " + level.port.device;
}

std::string window_text(const Window& window) {
    if (window.low <= Level::dbm(-200)) return "at most " + to_text(window.high);
    if (window.high >= Level::dbm(200)) return "at least " + to_text(window.low);
    return to_text(window.low) + " to " + to_text(window.high);
}

void judge(const Venue& venue, const PortLevel& level, const Place& place, Findings& findings) {
    const auto [lowest, highest] = extremes_of(level);
    const Gain excess = highest.worst_high - level.window->high;
    const Gain lack = level.window->low - lowest.worst_low;
    const Gain least = Gain::db(1e-6);  // rounding, not a fault
    const auto find = [&](std::string id, const LevelRange& r, Level worst, std::string_view side,
                          Gain amount, std::string cure) {
        findings.push_back({Severity::error, std::move(id), subject_of(level),
                            "worst case " + to_text(worst) + " at " + to_text(r.at) + " is " +
                                std::string(side) + " the window " + window_text(*level.window),
                            to_text(amount), std::move(cure), place});
    };
    const std::string area = level.optical ? "optical" : "level";
    if (excess > least)
        find(area + ".above-window", highest, highest.worst_high, "above", excess,
             cure_above(level, excess, -lack, venue));
    if (lack > least)
        find(area + ".below-window", lowest, lowest.worst_low, "below", lack,
             cure_below(level, lack, -excess));
}

}  // namespace

std::optional<Gain> window_margin(const PortLevel& level) {
    if (!level.window) return std::nullopt;
    const auto [lowest, highest] = extremes_of(level);
    return std::min(lowest.worst_low - level.window->low, level.window->high - highest.worst_high);
}

void judge_windows(const Venue& venue, const Chain& chain, const std::vector<PortLevel>& levels,
                   Findings& findings) {
    for (std::size_t i = 0; i < levels.size(); ++i) {
        if (!levels[i].window) continue;
        const auto& port = chain.ports()[chain.visits()[i].port];
        const auto& place = port.kind == NodeKind::card ? venue.cards[port.node].place
                                                        : venue.devices[port.node].place;
        judge(venue, levels[i], place, findings);
    }
}

}  // namespace mastline
