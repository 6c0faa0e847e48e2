// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_stand_ins.hpp"

#include <algorithm>

namespace mastline {

std::vector<RoutedStandby> standbys_of(const Site& site, const RoutedWays& ways) {
    std::vector<RoutedStandby> out;
    for (std::uint32_t source = 0; source < site.places.size(); ++source) {
        const auto& place = site.places[source];
        if (place.waits == kNone || place.waits == place.enters) continue;
        const auto from = ways.tree_of(place.enters), to = ways.tree_of(place.waits);
        auto at = std::find_if(out.begin(), out.end(), [&](const RoutedStandby& s) { return s.from == from && s.to == to; });
        if (at == out.end()) at = out.insert(at, {from, to, SourceMask(site.heaviest.source_count())});
        at->sources.set(source);
    }
    return out;
}

std::vector<RoutedSecond> seconds_of(const Site& site, const RoutedWays& ways) {
    std::vector<RoutedSecond> out;
    for (const auto& copies : site.seconds) {
        const auto from = ways.tree_of(*site.carriages[copies.first].enters), to = ways.tree_of(*site.carriages[copies.second].enters);
        if (from == to) continue;
        for (const auto s : copies.joined_at) out.push_back({from, to, copies.second, s});
    }
    return out;
}

}  // namespace mastline
