// SPDX-License-Identifier: Apache-2.0
#include "planner/network/site.hpp"

#include <algorithm>
#include <unordered_map>

namespace mastline {

Site::Site(const Venue& v, std::vector<NetworkCarriage> table)
    : venue(v), carriages(std::move(table)), topology(v), heaviest(carriages),
      rules(v.network, heaviest), own(v.switches.size(), Reach(heaviest.source_count())),
      shown(v.switches.size()), of_card(v.cards.size()) {
    // The first copy that is sent is the one that displays take.
    for (CarriageIndex i = 0; i < carriages.size(); ++i) {
        if (!carriages[i].enters) continue;
        by_number.emplace(to_text(venue.channels[carriages[i].channel].number), i);
        of_card[carriages[i].card].push_back(i);
        own[*carriages[i].enters].sources.set(heaviest.source_of(i));
    }
    std::unordered_map<std::string_view, SwitchIndex> index;
    for (SwitchIndex s = 0; s < venue.switches.size(); ++s) {
        index.emplace(venue.switches[s].name, s);
        own[s].routers = venue.switches[s].multicast_router ? 1 : 0;
    }
    for (const auto& card : venue.cards) {
        const auto at = index.find(card.attached_to);
        card_at.push_back(at == index.end() ? kNone : at->second);
    }
    for (const auto& zone : venue.zones) {
        const auto at = index.find(zone.attached_to);
        zone_at.push_back(at == index.end() ? kNone : at->second);
        if (at == index.end()) continue;
        own[at->second].displays += zone.displays;
        const auto join = [&](const ChannelRef& channel, JoinCounts& joins) {
            if (const auto c = carriage_of(channel.number); c != kNone) joins.join(c);
        };
        for (const auto& channel : zone.recorded) {
            join(channel, own[at->second].always);
            join(channel, shown[at->second]);
        }
        // Dealt round-robin: with fewer displays than defaults the last are not shown.
        const auto dealt = std::min(zone.defaults.size(), static_cast<std::size_t>(zone.displays));
        for (std::size_t i = 0; i < dealt; ++i) join(zone.defaults[i], shown[at->second]);
    }
}

CarriageIndex Site::carriage_of(const std::string& number) const {
    const auto at = by_number.find(number);
    return at == by_number.end() ? kNone : at->second;
}

}  // namespace mastline
