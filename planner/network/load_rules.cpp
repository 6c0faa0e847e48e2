// SPDX-License-Identifier: Apache-2.0
#include "planner/network/load_rules.hpp"

#include <cmath>
#include <limits>

#include "mastline/network/membership_timers.hpp"

namespace mastline {

namespace {
constexpr std::int64_t kEverywhere = std::numeric_limits<std::int64_t>::max();
}  // namespace

std::int64_t LoadRules::choices(std::int64_t displays, bool fast_leave) const {
    if (displays == 0 || fast_leave) return displays;
    const double latency = std::chrono::duration<double>(leave_latency(policy_)).count();
    const double overlap =
        static_cast<double>(displays) * policy_.zaps_per_display_second * latency;
    // A product such as 10 x 0.05 x 2 must not become 2 groups by its last bit.
    return displays + static_cast<std::int64_t>(std::ceil(overlap - 1e-9));
}

BitRate LoadRules::worst_mix(const SourceMask& behind, const Reach& ahead, bool tagged) const {
    return heaviest_.sum(behind, ahead.always, ahead.routers > 0 ? kEverywhere : choices(ahead.displays),
                         tagged);
}

std::vector<CarriageIndex> LoadRules::worst_groups(const SourceMask& behind,
                                                   const Reach& ahead) const {
    return heaviest_.pick(behind, ahead.always,
                          ahead.routers > 0 ? kEverywhere : choices(ahead.displays));
}

std::int64_t LoadRules::worst_group_count(const SourceMask& behind, const Reach& ahead) const {
    return heaviest_.pick_count(behind, ahead.always, ahead.routers > 0 ? kEverywhere : choices(ahead.displays));
}

BitRate LoadRules::everything(const SourceMask& behind, const Reach& ahead, bool tagged) const {
    const bool wanted = ahead.routers > 0 || ahead.displays > 0;
    return heaviest_.sum(behind, ahead.always, wanted ? kEverywhere : 0, tagged);
}

}  // namespace mastline
