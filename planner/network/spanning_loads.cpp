// SPDX-License-Identifier: Apache-2.0
#include "planner/network/spanning_loads.hpp"

#include <algorithm>

#include "planner/network/component.hpp"
#include "planner/network/flooding.hpp"

namespace mastline {

namespace {

BitRate part(BitRate whole, double fraction) {
    return BitRate(static_cast<std::int64_t>(static_cast<double>(whole.bits_per_second()) * fraction));
}

LinkLoad idle(const Link& link, bool forward) {
    LinkLoad out;
    out.link = link.name;
    out.from = forward ? link.from : link.to;
    out.to = forward ? link.to : link.from;
    out.members = link.members;
    out.capacity = link.speed * link.members;
    out.limit = part(out.capacity, link.load_limit);
    out.blocked = true;
    return out;
}

// Scheduled: the union of what is shown ahead; all of it where a multicast router is ahead.
class Schedule {
public:
    Schedule(const Site& site, const Component& component, const std::vector<Uplink>& uplink)
        : site_(site), below_(site.shown) {
        for (std::size_t i = component.order.size(); i-- > 1;) {
            const auto s = component.order[i];
            below_[uplink[s].parent].add(below_[s]);
        }
        if (!component.order.empty()) total_ = below_[component.order[0]];
    }
    JoinCounts ahead(SwitchIndex child, bool downwards) const {
        if (downwards) return below_[child];
        JoinCounts rest = total_;
        rest.remove(below_[child]);
        return rest;
    }

private:
    const Site& site_;
    std::vector<JoinCounts> below_;
    JoinCounts total_;
};

void fill(const Site& site, const Direction& d, const SourceMask& behind, const Reach& ahead,
          const JoinCounts& shown, LinkLoad& load) {
    const bool tagged = site.tagged(d.link);
    load.blocked = false;
    load.to_multicast_router = ahead.routers > 0;
    load.worst_mix = site.rules.worst_mix(behind, ahead, tagged);
    load.everything = site.rules.everything(behind, ahead, tagged);
    load.scheduled = ahead.routers > 0 ? load.worst_mix : site.heaviest.sum(behind, shown, 0, tagged);
    load.flooded = load.worst_mix;
    for (const auto c : site.rules.worst_groups(behind, ahead)) load.groups.push_back(c);
    std::sort(load.groups.begin(), load.groups.end());
}

void add_display_ports(const Site& site, const Reach& total, const FloodLoads& flood,
                       NetworkLoad& out) {
    for (std::size_t z = 0; z < site.venue.zones.size(); ++z) {
        const auto& zone = site.venue.zones[z];
        if (site.zone_at[z] == kNone || zone.displays == 0) continue;
        const auto& at = site.venue.switches[site.zone_at[z]];
        const bool tagged = zone.tagged && site.venue.addressing.vlan.has_value();
        LinkLoad load;
        load.link = "zone " + zone.name + " displays";
        load.from = at.name;
        load.to = "display";
        load.capacity = load.limit = zone.port_speed;
        const auto choices = site.rules.choices(1, at.fast_leave);
        load.worst_mix = site.heaviest.sum(total.sources, {}, choices, tagged);
        load.everything = load.flooded = load.worst_mix;
        for (const auto c : site.heaviest.pick(total.sources, {}, choices)) load.groups.push_back(c);
        std::sort(load.groups.begin(), load.groups.end());
        for (const auto& channel : zone.defaults)
            if (const auto c = site.carriage_of(channel.number); c != kNone)
                load.scheduled = std::max(load.scheduled, rate_of(site.carriages[c], tagged));
        if (const auto all = flood.at.find(site.zone_at[z]); all != flood.at.end())
            load.flooded = std::max(load.flooded, all->second.rate(site.carriages, tagged));
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
        load.link = "card " + card.name;
        load.from = load.link;
        load.to = card.attached_to;
        load.capacity = load.limit = card.port_speed.value_or(megabits_per_second(1000));
        load.scheduled = load.everything = load.flooded = load.worst_mix;
        out.links.push_back(std::move(load));
    }
}

}  // namespace

void add_spanning_loads(const Site& site, const Tree& tree, NetworkLoad& out) {
    for (const auto& link : site.venue.links)
        for (const bool forward : {true, false}) out.links.push_back(idle(link, forward));
    const Component component = component_of(site, tree.order);
    const Sides sides(site, component, tree.uplink);
    const Schedule schedule(site, component, tree.uplink);
    sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach& ahead) {
        const bool down = tree.uplink[d.to].link == d.link && tree.uplink[d.to].parent == d.from;
        fill(site, d, behind, ahead, schedule.ahead(down ? d.to : d.from, down),
             out.links[slot_of(site, d.link, d.from)]);
    });
    const FloodLoads flood = flood_loads(site, component, tree.uplink, sides);
    for (std::size_t i = 1; i < component.order.size() && !flood.along.empty(); ++i) {
        const auto s = component.order[i];
        const auto [distance, parent, link] = tree.uplink[s];
        for (const auto& [from, to] : {std::pair(parent, s), std::pair(s, parent)}) {
            auto& load = out.links[slot_of(site, link, from)];
            load.flooded = flood.along.at({from, to}).rate(site.carriages, site.tagged(link));
        }
    }
    out.tree_root = site.venue.switches[tree.root].name;
    if (component.querier != kNone) out.querier = site.venue.switches[component.querier].name;
    add_card_ports(site, out);
    add_display_ports(site, sides.total(), flood, out);
}

}  // namespace mastline
