// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_loads.hpp"

#include <algorithm>
#include <set>

#include "planner/network/flooding.hpp"
#include "planner/network/port_loads.hpp"
#include "planner/network/routed_failures.hpp"
#include "planner/network/routed_trees.hpp"

namespace mastline {

namespace {

BitRate sum_of(const Site& site, const std::vector<CarriageIndex>& carriages, LinkIndex link) {
    BitRate sum;
    for (const auto c : carriages) sum += rate_of(site.carriages[c], site.tagged(link));
    return sum;
}

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
                    out.links[slot_of(site, up.link, up.parent)].scheduled +=
                        rate_of(site.carriages[e.carriage], site.tagged(up.link));
        }
    }
}

BitRate everything_of(const Site& site, const RoutedTrees& routed, const RoutedUse& use, LinkIndex l) {
    BitRate sum;
    for (std::size_t i = 0; i < use.trees.size(); ++i) {
        const auto& joins = use.always[i].entries();
        for (CarriageIndex c = 0; c < site.carriages.size(); ++c) {
            if (site.carriages[c].enters != routed.sources[use.trees[i]]) continue;
            const bool joined = std::any_of(joins.begin(), joins.end(),
                                            [c](const auto& e) { return e.carriage == c; });
            if (joined || !use.displays[i].empty())
                sum += rate_of(site.carriages[c], site.tagged(l));
        }
    }
    return sum;
}

// A switch that does not snoop brings all that reaches it to every display.
FloodLoads arriving(const Site& site, const RoutedUses& uses, const RoutedTrees& routed) {
    FloodLoads out;
    for (SwitchIndex s = 0; s < site.venue.switches.size(); ++s) {
        if (!floods(site.venue.switches[s], true)) continue;
        CarriageSet all(site.carriages.size());
        for (CarriageIndex c = 0; c < site.carriages.size(); ++c)
            if (site.carriages[c].enters == s) all.set(c);
        for (const auto& n : site.topology.neighbours(s))
            if (const auto use = uses.find({n.link, n.node}); use != uses.end())
                for (const auto c : routed_worst_mix(site, routed, use->second)) all.set(c);
        out.at.emplace(s, std::move(all));
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
                most = depth[s], where = site.venue.switches[s].name;
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

void add_routed_loads(const Site& site, NetworkLoad& out, Findings& findings) {
    add_idle_links(site, out);
    const RoutedTrees routed = routed_trees(site);
    const RoutedUses uses = routed_uses(site, routed);
    for (auto& load : out.links) load.blocked = false;  // routing keeps no link in reserve
    for (const auto& [at, use] : uses) {
        auto& load = out.links[slot_of(site, at.first, at.second)];
        const auto mix = routed_worst_mix(site, routed, use);
        load.worst_mix = load.flooded = load.fullest_member = sum_of(site, mix, at.first);
        load.groups.assign(mix.begin(), mix.end());
        std::sort(load.groups.begin(), load.groups.end());
        load.everything = everything_of(site, routed, use, at.first);
    }
    add_scheduled(site, routed, out);
    add_card_ports(site, out);
    SourceMask all(site.heaviest.source_count());
    for (const auto& own : site.own) all.add(own.sources);
    add_display_ports(site, all, arriving(site, uses, routed), out);
    add_routed_failures(site, routed, out);
    check_ttl(site, routed, findings);
}

}  // namespace mastline
