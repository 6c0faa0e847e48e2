// SPDX-License-Identifier: Apache-2.0
#include "planner/network/standbys.hpp"

namespace mastline {

namespace {
constexpr std::uint32_t kMain = 0, kLost = 1, kIslands = 2;
}  // namespace

Standbys::Standbys(const Site& site) : site_(site), ends_(site.own.size()), part_(site.own.size(), kMain) {
    for (std::uint32_t source = 0; source < site.places.size(); ++source) {
        const auto& place = site.places[source];
        if (place.waits == kNone || place.waits == place.enters) continue;
        any_ = true;
        ends_[place.enters].push_back(source);
        ends_[place.waits].push_back(source);
    }
}

TakenOver Standbys::after(const NetworkLoss& loss, const AfterLoss& after) {
    if (!any_) return {};
    std::vector<SwitchIndex> parted;  // from the main part
    if (loss.node != kNone) part_[loss.node] = kLost, parted.push_back(loss.node);
    std::uint32_t part = kIslands;
    for (const auto& island : after.islands) {
        for (const auto s : island) part_[s] = part, parted.push_back(s);
        ++part;
    }
    TakenOver out;
    for (const auto s : parted)
        for (const auto source : ends_[s]) {
            const auto& place = site_.places[source];
            if (part_[place.waits] == kLost || part_[place.waits] == part_[place.enters]) continue;
            out.try_emplace(place.waits, site_.heaviest.source_count()).first->second.set(source);
        }
    for (const auto s : parted) part_[s] = kMain;
    return out;
}

}  // namespace mastline
