// SPDX-License-Identifier: Apache-2.0
#include "planner/network/stand_ins.hpp"

#include <set>

namespace mastline {

namespace {
constexpr std::uint32_t kMain = 0, kLost = 1, kIslands = 2;
}  // namespace

StandInsAfter::StandInsAfter(const Site& site)
    : site_(site), any_(!site.seconds.empty()), ends_(site.own.size()), seconds_(site.own.size()),
      part_(site.own.size(), kMain) {
    for (std::size_t source = 0; source < site.places.size(); ++source) {
        const auto& place = site.places[source];
        if (place.waits == kNone || place.waits == place.enters) continue;
        any_ = true;
        ends_[place.enters].push_back(source);
        ends_[place.waits].push_back(source);
    }
    for (std::size_t i = 0; i < site.seconds.size(); ++i) {
        seconds_[*site.carriages[site.seconds[i].first].enters].push_back(i);
        for (const auto s : site.seconds[i].joined_at) seconds_[s].push_back(i);
    }
}

StandIns StandInsAfter::of(const NetworkLoss& loss, const AfterLoss& after) {
    StandIns out;
    if (!any_) return out;
    std::vector<SwitchIndex> parted;  // from the main part
    if (loss.node != kNone) part_[loss.node] = kLost, parted.push_back(loss.node);
    std::uint32_t part = kIslands;
    for (const auto& island : after.islands) {
        for (const auto s : island) part_[s] = part, parted.push_back(s);
        ++part;
    }
    std::set<std::size_t> seconds;
    for (const auto s : parted) {
        add_sending(s, out);
        seconds.insert(seconds_[s].begin(), seconds_[s].end());
    }
    for (const auto i : seconds) add_joins(i, out);
    for (const auto s : parted) part_[s] = kMain;
    return out;
}

void StandInsAfter::add_sending(SwitchIndex parted, StandIns& out) const {
    for (const auto source : ends_[parted]) {
        const auto& place = site_.places[source];
        if (part_[place.waits] == kLost || part_[place.waits] == part_[place.enters]) continue;
        out.sending.try_emplace(place.waits, site_.heaviest.source_count()).first->second.set(source);
    }
}

void StandInsAfter::add_joins(std::size_t second, StandIns& out) const {
    const auto& copies = site_.seconds[second];
    const auto first_in = part_[*site_.carriages[copies.first].enters], second_in = part_[*site_.carriages[copies.second].enters];
    if (second_in == kLost || second_in == first_in) return;
    for (const auto s : copies.joined_at)
        if (part_[s] == second_in) out.joins.push_back({copies.second, s});
}

}  // namespace mastline
