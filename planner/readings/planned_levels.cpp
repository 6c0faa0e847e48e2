// SPDX-License-Identifier: Apache-2.0
#include "planner/readings/planned_levels.hpp"

namespace mastline {

namespace {

constexpr Frequency kHalfUserBand{25'000'000};  // beside the centre is still that user band

bool holds(const PortLevel& level, Frequency f) {
    const auto beside = level.user_bands ? kHalfUserBand : Frequency{};
    return f >= level.low.at - beside && f <= level.high.at + beside;
}

}  // namespace

PlannedLevels::PlannedLevels(const SignalPlan& plan) : plan_(plan) {}

std::vector<const PortLevel*> PlannedLevels::at(const PortRef& port, LaneNumber lane) const {
    std::vector<const PortLevel*> out;
    for (const auto& level : plan_.levels)
        if (level.conductor == lane && level.port == port) out.push_back(&level);
    return out;
}

const PortLevel* PlannedLevels::at(const MeterPoint& point) const {
    for (const auto* level : at(point.port, point.lane))
        if (level->optical || (point.frequency && holds(*level, *point.frequency))) return level;
    return nullptr;
}

std::optional<LevelRange> PlannedLevels::range(const PortLevel& level, const std::optional<Frequency>& at) {
    if (level.optical || at == level.low.at) return level.low;
    if (at == level.high.at) return level.high;
    for (const auto& carrier : level.carriers)
        if (carrier.at == at) return carrier;
    return std::nullopt;
}

}  // namespace mastline
