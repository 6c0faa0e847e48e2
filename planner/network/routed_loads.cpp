// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_loads.hpp"

#include <algorithm>
#include <limits>

#include "planner/network/bundle.hpp"
#include "planner/network/flooding.hpp"
#include "planner/network/port_loads.hpp"
#include "planner/network/routed_callers.hpp"
#include "planner/network/routed_failures.hpp"
#include "planner/network/switch_loads.hpp"

namespace mastline {

namespace {

constexpr std::int64_t kAll = std::numeric_limits<std::int64_t>::max();

// Of each tree: what the displays below each switch show as scheduled.
void add_scheduled(const Site& site, const RoutedTrees& routed, NetworkLoad& out) {
    for (std::size_t t = 0; t < routed.trees.size(); ++t) {
        const auto& tree = routed.trees[t];
        std::vector<JoinCounts> shown = site.shown;
        for (auto at = tree.order.rbegin(); at != tree.order.rend(); ++at) {
            const auto& up = tree.uplink[*at];
            if (up.parent == kNone) continue;
            shown[up.parent].add(shown[*at]);
            for (const auto& e : shown[*at].entries())
                if (site.carriages[e.carriage].enters == routed.sources[t])
                    out.links[site.topology.slot(up.link, up.parent)].scheduled +=
                        rate_of(site.carriages[e.carriage], site.tagged(up.link));
        }
    }
}

BitRate everything_of(const Site& site, const RoutedTrees& routed,
                      const std::vector<RoutedCaller>& callers, SwitchIndex to, bool tagged) {
    BitRate sum;
    for (const auto& c : callers)
        sum += site.heaviest.sum(*c.sources, *c.always,
                                 routed.below[c.tree][to].displays > 0 ? kAll : 0, tagged);
    return sum;
}

void add_member(const Site& site, const std::vector<RoutedCaller>& callers, const Crowds& crowds,
                const Addressing& addressing, LinkIndex link, LinkLoad& load) {
    fill_members(
        site, addressing, link, flows_of(site, callers),
        [&](const std::vector<CarriageIndex>& flows) { return routed_mix_among(site, callers, crowds, flows); }, load);
}

void fill(const Site& site, const RoutedTrees& routed, const Direction& d, const Addressing& addressing,
          LinkLoad& load) {
    load.blocked = false;  // routing keeps no link in reserve
    const auto callers = callers_along(routed, d);
    if (callers.empty()) return;
    const auto& crowds = routed.along[site.topology.slot(d.link, d.from)];
    const bool tagged = site.tagged(d.link);
    const auto shares = shares_of(callers, routed_choices(site, callers, crowds));
    load.worst_mix = load.flooded = load.fullest_member = rate_of(site, shares, tagged);
    load.groups = groups_of(site, shares);
    load.everything = everything_of(site, routed, callers, d.to, tagged);
    if (load.members > 1) add_member(site, callers, crowds, addressing, d.link, load);
}

// A switch that does not snoop brings all that reaches it to every display.
FloodedAt arriving(const Site& site, const NetworkLoad& load) {
    FloodedAt out;
    for (SwitchIndex s = 0; s < site.venue.switches.size(); ++s) {
        if (!floods(*site.switches[s], true)) continue;
        CarriageSet all(site.carriages.size());
        for (CarriageIndex c = 0; c < site.carriages.size(); ++c)
            if (site.carriages[c].enters == s) all.set(c);
        for (const auto& n : site.topology.neighbours(s))
            for (const auto c : load.links[site.topology.slot(n.link, n.node)].groups)
                all.set(c);
        out.emplace(s, FloodRate{all.rate(site.carriages, false), all.rate(site.carriages, true)});
    }
    return out;
}

// Every router on the way takes one from the TTL and drops what is left with none (RFC 791).
void check_ttl(const Site& site, const RoutedTrees& routed, Findings& findings) {
    int most = 0;
    std::string where;
    for (const auto& tree : routed.trees) {
        std::vector<int> depth(tree.uplink.size(), 1);
        for (const auto s : tree.order) {
            if (tree.uplink[s].parent != kNone) depth[s] = depth[tree.uplink[s].parent] + 1;
            if (site.own[s].displays > 0 && depth[s] > most)
                most = depth[s], where = site.switches[s]->name;
        }
    }
    if (site.venue.addressing.ttl > most) return;
    findings.push_back({Severity::error, "network.ttl-too-low", "switch " + where,
                        "streams pass " + std::to_string(most) + " routers on the way to its displays, "
                        "their TTL is " + std::to_string(site.venue.addressing.ttl),
                        std::to_string(most + 1 - site.venue.addressing.ttl) + " too low",
                        "set ttl to " + std::to_string(most + 1) + " or more in [addressing]",
                        site.venue.addressing.place});
}

}  // namespace

void add_routed_loads(const Site& site, const Addressing& addressing, NetworkLoad& out, Findings& findings) {
    add_idle_links(site, out);
    const RoutedTrees routed = routed_trees(site);
    for (SwitchIndex s = 0; s < site.venue.switches.size(); ++s)
        for (const auto& n : site.topology.neighbours(s))
            fill(site, routed, {n.link, s, n.node}, addressing,
                 out.links[site.topology.slot(n.link, s)]);
    add_scheduled(site, routed, out);
    add_card_ports(site, out);
    SourceMask all(site.heaviest.source_count());
    for (const auto& own : site.own) all.add(own.sources);
    add_display_ports(site, all, arriving(site, out), out);
    add_routed_switches(site, routed, out);
    add_routed_failures(site, routed, addressing, out);
    check_ttl(site, routed, findings);
}

}  // namespace mastline
