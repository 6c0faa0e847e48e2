// SPDX-License-Identifier: Apache-2.0
#include "planner/network/spanning_loads.hpp"

#include <limits>

#include "planner/network/bundle.hpp"
#include "planner/network/component.hpp"
#include "planner/network/flooding.hpp"
#include "planner/network/port_loads.hpp"
#include "planner/network/switch_loads.hpp"

namespace mastline {

namespace {

// Scheduled: the union of what is shown ahead; all of it where a multicast router is ahead.
class Schedule {
public:
    Schedule(const Site& site, const Component& component, const std::vector<Uplink>& uplink)
        : below_(site.shown) {
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
    std::vector<JoinCounts> below_;
    JoinCounts total_;
};

void fill(const Site& site, const Direction& d, const SourceMask& behind, const Reach& ahead,
          const JoinCounts& shown, const Addressing& addressing, LinkLoad& load) {
    const bool tagged = site.tagged(d.link);
    load.blocked = false;
    load.to_multicast_router = ahead.routers > 0;
    load.worst_mix = site.rules.worst_mix(behind, ahead, tagged);
    load.everything = site.rules.everything(behind, ahead, tagged);
    load.scheduled = ahead.routers > 0 ? load.worst_mix : site.heaviest.sum(behind, shown, 0, tagged);
    load.flooded = load.worst_mix;
    load.groups = ascending(site.rules.worst_groups(behind, ahead), site.carriages.size());
    load.fullest_member = load.worst_mix;
    if (load.members > 1) {
        const auto choices = ahead.routers > 0 ? std::numeric_limits<std::int64_t>::max()
                                               : site.rules.choices(ahead.displays);
        const auto all = site.heaviest.pick(behind, {}, std::numeric_limits<std::int64_t>::max());
        fill_members(site, addressing, d.link, all, mix_of_choices(ahead.always, choices), load);
    }
}

void fill_flooded(const Site& site, const FloodLoads& flood, const Direction& d, const SourceMask& behind,
                  const Addressing& addressing, LinkLoad& load) {
    load.flooded = flood.along(d).on(site.tagged(d.link));
    if (load.members < 2) return;
    const auto feeds = flood.feeds(d);
    fill_members(site, addressing, d.link, site.heaviest.pick(behind, {}, std::numeric_limits<std::int64_t>::max()),
                 [&](const std::vector<CarriageIndex>& flows) { return feeds.among(site, flows); }, load);
}

}  // namespace

void add_spanning_loads(const Site& site, const Tree& tree, const Addressing& addressing,
                        NetworkLoad& out) {
    add_idle_links(site, out);
    const Component component = component_of(site, tree.order);
    const Sides sides(site, component, tree.uplink);
    const Schedule schedule(site, component, tree.uplink);
    sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach& ahead) {
        const bool down = tree.uplink[d.to].link == d.link && tree.uplink[d.to].parent == d.from;
        fill(site, d, behind, ahead, schedule.ahead(down ? d.to : d.from, down), addressing,
             out.links[slot_of(site, d.link, d.from)]);
    });
    const FloodLoads flood(site, component, tree.uplink, sides);
    if (!flood.empty())
        sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach&) {
            fill_flooded(site, flood, d, behind, addressing, out.links[slot_of(site, d.link, d.from)]);
        });
    out.tree_root = site.switches[tree.root]->name;
    if (component.querier != kNone) out.querier = site.switches[component.querier]->name;
    add_card_ports(site, out);
    add_display_ports(site, sides.total().sources, flood.at(), out);
    add_switch_loads(site, component, sides, out);
}

}  // namespace mastline
