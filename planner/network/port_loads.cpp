// SPDX-License-Identifier: Apache-2.0
#include "planner/network/port_loads.hpp"

#include <algorithm>

namespace mastline {

namespace {

BitRate part(BitRate whole, double fraction) {
    return BitRate(static_cast<std::int64_t>(static_cast<double>(whole.bits_per_second()) * fraction));
}

LinkLoad idle(const Link& link, std::size_t index, bool forward) {
    LinkLoad out;
    out.index = index;
    out.link = link.name;
    out.from = forward ? link.from : link.to;
    out.to = forward ? link.to : link.from;
    out.members = link.members;
    out.capacity = link.speed * link.members;
    out.limit = part(out.capacity, link.load_limit);
    out.blocked = true;
    return out;
}

}  // namespace

void add_idle_links(const Site& site, NetworkLoad& out) {
    out.links.reserve(2 * site.venue.links.size() + site.venue.cards.size() + site.venue.zones.size());
    for (std::size_t i = 0; i < site.venue.links.size(); ++i)
        for (const bool forward : {true, false}) out.links.push_back(idle(site.venue.links[i], i, forward));
}

void add_display_ports(const Site& site, const SourceMask& sources, const FloodedAt& flooded,
                       NetworkLoad& out) {
    for (std::size_t z = 0; z < site.venue.zones.size(); ++z) {
        const auto& zone = site.venue.zones[z];
        if (site.zone_at[z] == kNone || zone.displays == 0) continue;
        const auto& at = *site.switches[site.zone_at[z]];
        const bool tagged = site.tagged_port(z);
        LinkLoad load;
        load.of = LoadOf::display_port;
        load.index = z;
        load.link = "zone " + zone.name + " displays";
        load.from = at.name;
        load.to = "display";
        load.capacity = load.limit = zone.port_speed;
        const auto choices = site.rules.choices(1, at.fast_leave);
        load.worst_mix = site.heaviest.sum(sources, {}, choices, tagged);
        load.everything = load.flooded = load.fullest_member = load.worst_mix;
        for (const auto c : site.heaviest.pick(sources, {}, choices)) load.groups.push_back(c);
        std::sort(load.groups.begin(), load.groups.end());
        for (const auto& channel : shown_defaults(zone))
            if (const auto c = site.carriage_of(channel.number); c != kNone)
                load.scheduled = std::max(load.scheduled, rate_of(site.carriages[c], tagged));
        if (const auto all = flooded.find(site.zone_at[z]); all != flooded.end())
            load.flooded = std::max(load.flooded, all->second.on(tagged));
        out.links.push_back(std::move(load));
    }
}

void add_card_ports(const Site& site, NetworkLoad& out) {
    for (std::size_t i = 0; i < site.venue.cards.size(); ++i) {
        const auto& card = site.venue.cards[i];
        LinkLoad load;
        for (const auto c : site.of_card[i]) {
            load.worst_mix += site.carriages[c].plain;
            load.groups.push_back(c);
        }
        if (load.groups.empty()) continue;
        load.of = LoadOf::card;
        load.index = i;
        load.link = "card " + card.name;
        load.from = load.link;
        load.to = card.attached_to;
        load.capacity = load.limit = card.port_speed.value_or(megabits_per_second(1000));
        load.scheduled = load.everything = load.flooded = load.fullest_member = load.worst_mix;
        out.links.push_back(std::move(load));
    }
}

}  // namespace mastline
