// SPDX-License-Identifier: Apache-2.0
#include "planner/network/site.hpp"

#include <algorithm>
#include <unordered_map>

#include "planner/network/tree.hpp"

namespace mastline {

namespace {

std::vector<const Switch*> along_the_tree(const Venue& venue) {
    const Topology topology(venue);
    std::vector<const Switch*> out;
    if (venue.switches.empty()) return out;
    const Tree tree = grow_tree(topology, lowest_bridge(topology));
    std::vector<SwitchIndex> by_number(tree.order.size());
    for (const auto s : tree.order) by_number[tree.enter[s]] = s;
    for (const bool leads_on : {true, false})
        for (const auto s : by_number)
            if ((topology.neighbours(s).size() > 1) == leads_on) out.push_back(&venue.switches[s]);
    for (SwitchIndex s = 0; s < venue.switches.size(); ++s)
        if (tree.uplink[s].distance == kUnreached) out.push_back(&venue.switches[s]);
    return out;
}

std::vector<SwitchIndex> numbers_of(const Venue& venue, const std::vector<const Switch*>& switches) {
    std::vector<SwitchIndex> out(switches.size());
    for (SwitchIndex s = 0; s < switches.size(); ++s)
        out[static_cast<std::size_t>(switches[s] - venue.switches.data())] = s;
    return out;
}

std::vector<NetworkCarriage> renumbered(std::vector<NetworkCarriage> carriages,
                                        const std::vector<SwitchIndex>& numbers) {
    for (auto& c : carriages)
        if (c.enters) c.enters = numbers[*c.enters];
    return carriages;
}

// A card that waits joins what it would send: it must hear that another sends it.
void note_places(Site& site) {
    for (CarriageIndex c = 0; c < site.carriages.size(); ++c) {
        if (!site.carriages[c].enters) continue;
        auto& place = site.places[site.heaviest.source_of(c)];
        place.enters = *site.carriages[c].enters;
        const auto standby = site.carriages[c].standby;
        if (!standby || site.card_at[*standby] == kNone) continue;
        place.waits = site.card_at[*standby];
        site.own[place.waits].always.join(c);
        site.shown[place.waits].join(c);
    }
}

std::vector<SecondCopy> joined_copies(const Site& site) {
    std::unordered_map<CarriageIndex, std::vector<SwitchIndex>> joined_at;
    for (SwitchIndex s = 0; s < site.own.size(); ++s)
        for (const auto& e : site.own[s].always.entries()) joined_at[e.carriage].push_back(s);
    std::unordered_map<std::size_t, CarriageIndex> first;  // by channel
    std::vector<SecondCopy> out;
    for (CarriageIndex c = 0; c < site.carriages.size(); ++c) {
        if (!site.carriages[c].enters) continue;
        const auto [at, is_first] = first.emplace(site.carriages[c].channel, c);
        if (const auto joined = joined_at.find(at->second); !is_first && joined != joined_at.end())
            out.push_back({at->second, c, joined->second});
    }
    return out;
}

}  // namespace

Site::Site(const Venue& v, std::vector<NetworkCarriage> table)
    : venue(v), switches(along_the_tree(v)), numbers(numbers_of(v, switches)),
      carriages(renumbered(std::move(table), numbers)), topology(switches, v.links), heaviest(carriages),
      rules(v.network, heaviest), own(v.switches.size(), Reach(heaviest.source_count())),
      shown(v.switches.size()), of_card(v.cards.size()), places(heaviest.source_count()) {
    // The first copy that is sent is the one that displays take.
    for (CarriageIndex i = 0; i < carriages.size(); ++i) {
        if (!carriages[i].enters) continue;
        by_number.emplace(to_text(venue.channels[carriages[i].channel].number), i);
        of_card[carriages[i].card].push_back(i);
        own[*carriages[i].enters].sources.set(heaviest.source_of(i));
    }
    std::unordered_map<std::string_view, SwitchIndex> index;
    for (SwitchIndex s = 0; s < switches.size(); ++s) {
        index.emplace(switches[s]->name, s);
        own[s].routers = switches[s]->multicast_router ? 1 : 0;
    }
    for (const auto& link : venue.links)
        carries_tags.push_back(link.tagged && venue.addressing.vlan.has_value());
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
        for (const auto& channel : shown_defaults(zone)) join(channel, shown[at->second]);
    }
    note_places(*this);
    seconds = joined_copies(*this);
}

CarriageIndex Site::carriage_of(const std::string& number) const {
    const auto at = by_number.find(number);
    return at == by_number.end() ? kNone : at->second;
}

std::span<const ChannelRef> shown_defaults(const Zone& zone) {
    return std::span(zone.defaults).first(std::min(zone.defaults.size(), static_cast<std::size_t>(zone.displays)));
}

}  // namespace mastline
