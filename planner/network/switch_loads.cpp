// SPDX-License-Identifier: Apache-2.0
#include "planner/network/switch_loads.hpp"

#include <algorithm>
#include <array>
#include <numeric>
#include <set>

#include "planner/network/routed_callers.hpp"
#include "planner/network/topology.hpp"

namespace mastline {

namespace {

// In the second in which all join, each host reports at once (RFC 2236 section 3, RFC 3376 section 5.1) and
// repeats that, robustness reports in all, at random times of the unsolicited report interval: 1 s (RFC 3376
// section 8.11) or 10 s (RFC 2236 section 8.10).
double reports_at_once(const NetworkPolicy& n) {
    const double interval = n.igmp_version >= 3 ? 1 : 10;
    return 1 + (n.robustness - 1) / interval;
}

// What each switch hears of and sends to, over all its ports.
struct Ports {
    std::int64_t displays = 0;  // on ports that reports come in by
    std::set<CarriageIndex> always;
    std::int64_t joins = 0;     // groups that are asked for on one port
    std::int64_t frames = 0;    // datagrams that may meet at one port
};

// Of so many groups from `sources`, those with the most streams: media, and the FEC packets of each kind.
std::int64_t datagrams_of(const Site& site, const SourceMask& sources, std::int64_t groups) {
    if (!site.venue.addressing.fec) return groups;
    std::array<std::int64_t, 4> with{};  // by number of streams
    for (const auto c : site.heaviest.by_rate())
        if (sources.has(site.heaviest.source_of(c))) ++with[static_cast<std::size_t>(site.carriages[c].streams)];
    std::int64_t out = 0;
    for (std::size_t streams = with.size(); streams-- > 1;) {
        const auto taken = std::min(groups, with[streams]);
        out += taken * static_cast<std::int64_t>(streams);
        groups -= taken;
    }
    return out;
}

std::vector<Ports> ports_of(const Site& site, const Sides& sides) {
    std::vector<Ports> out(site.venue.switches.size());
    const auto& all = sides.total();
    for (SwitchIndex s = 0; s < out.size(); ++s) {
        out[s].displays = site.own[s].displays;
        for (const auto& e : site.own[s].always.entries()) out[s].always.insert(e.carriage);
        if (site.own[s].displays == 0) continue;
        out[s].joins = site.rules.choices(1, site.switches[s]->fast_leave);
        out[s].frames = datagrams_of(site, all.sources, out[s].joins);
    }
    sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach& ahead) {
        auto& ports = out[d.from];
        ports.frames = std::max(ports.frames, datagrams_of(site, behind, site.rules.worst_group_count(behind, ahead)));
        // Reports go towards the querier and multicast routers only (RFC 4541 section 2.1.1), wherever the
        // streams come from.
        if (ahead.routers > 0 && ahead.routers == all.routers) return;
        ports.joins = std::max(ports.joins, site.heaviest.pick_count(all.sources, ahead.always,
                                                                     site.rules.choices(ahead.displays)));
        ports.displays += ahead.displays;
        for (const auto& e : ahead.always.entries()) ports.always.insert(e.carriage);
    });
    return out;
}

// `joined`: memberships that it hears of.
void add_switch(const Site& site, SwitchIndex s, std::int64_t groups, std::int64_t joins, std::int64_t frames,
                std::int64_t joined, NetworkLoad& out) {
    const auto& network = site.venue.network;
    SwitchLoad load;
    load.name = site.switches[s]->name;
    load.groups = groups;
    load.joins_on_a_port = joins;
    load.queue_frames = frames;
    load.reports_after_query = static_cast<double>(joined) /
                               std::chrono::duration<double>(network.query_response).count();
    load.reports_after_power_cut = static_cast<double>(joined) * reports_at_once(network);
    out.switches.push_back(std::move(load));
}

void sort_switches(NetworkLoad& out) {
    std::sort(out.switches.begin(), out.switches.end(),
              [](const SwitchLoad& a, const SwitchLoad& b) { return a.name < b.name; });
}

void report_limit(const Switch& s, std::optional<int> limit, double value, Severity severity,
                  const char* id, const std::string& what, const char* cure, Findings& findings) {
    if (!limit || value <= *limit) return;
    findings.push_back({severity, id, "switch " + s.name,
                        what + ": " + number_text(value, 0) + ", it takes " + std::to_string(*limit),
                        number_text(value - *limit, 0) + " too many", cure, s.place});
}

}  // namespace

void add_switch_loads(const Site& site, const Component& component, const Sides& sides,
                      NetworkLoad& out) {
    const auto ports = ports_of(site, sides);
    const auto lineup = static_cast<std::int64_t>(site.heaviest.count(sides.total().sources));
    for (const auto s : component.order) {
        const auto& p = ports[s];
        const auto always = static_cast<std::int64_t>(p.always.size());
        add_switch(site, s, std::min(lineup, site.rules.choices(p.displays) + always), p.joins, p.frames,
                   p.displays + always, out);
    }
    sort_switches(out);
}

void add_routed_switches(const Site& site, const RoutedTrees& routed, NetworkLoad& out) {
    SourceMask all(site.heaviest.source_count());
    for (const auto& own : site.own) all.add(own.sources);
    for (SwitchIndex s = 0; s < site.venue.switches.size(); ++s) {
        const auto& own = site.own[s];
        std::int64_t joins = own.displays > 0 ? site.rules.choices(1, site.switches[s]->fast_leave) : 0;
        std::int64_t frames = datagrams_of(site, all, joins);
        for (const auto& n : site.topology.neighbours(s)) {
            const auto& sent = out.links[site.topology.slot(n.link, s)].groups;
            joins = std::max(joins, static_cast<std::int64_t>(sent.size()));
            frames = std::max(frames, std::accumulate(sent.begin(), sent.end(), std::int64_t{0},
                                                      [&](std::int64_t sum, CarriageIndex c) {
                                                          return sum + site.carriages[c].streams;
                                                      }));
        }
        const auto callers = callers_through(routed, s);
        const auto choices = routed_choices(site, callers, routed.through[s]);
        std::int64_t groups = 0;  // no stream comes along two trees
        for (std::size_t i = 0; i < callers.size(); ++i)
            groups += site.heaviest.pick_count(*callers[i].sources, *callers[i].always, choices[i]);
        add_switch(site, s, groups, joins, frames,
                   own.displays + static_cast<std::int64_t>(own.always.entries().size()), out);
    }
    sort_switches(out);
}

void report_switches(const Site& site, const NetworkLoad& load, Findings& findings) {
    for (const auto& s : site.venue.switches) {
        const auto at = std::lower_bound(load.switches.begin(), load.switches.end(), s.name,
                                         [](const SwitchLoad& a, const std::string& n) { return a.name < n; });
        if (at == load.switches.end() || at->name != s.name) continue;
        report_limit(s, s.group_table, static_cast<double>(at->groups), Severity::error,
                     "network.group-table-full", "groups in its table at worst",
                     "take a switch with a larger table, or fewer displays behind this one", findings);
        report_limit(s, s.joins_per_port, static_cast<double>(at->joins_on_a_port), Severity::error,
                     "network.too-many-joins", "groups on its fullest port at worst",
                     "raise the limit, or spread the displays", findings);
        report_limit(s, s.reports_per_second, at->reports_after_power_cut, Severity::warning,
                     "network.too-many-reports",
                     "membership reports per second when all displays join at once",
                     "start the displays in turn after a power cut", findings);
        report_limit(s, s.port_queue, static_cast<double>(at->queue_frames), Severity::warning,
                     "network.queue-short", "frames that may meet at its fullest port",
                     "lengthen the port's queue for the streams", findings);
    }
}

}  // namespace mastline
