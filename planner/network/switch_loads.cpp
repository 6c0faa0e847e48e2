// SPDX-License-Identifier: Apache-2.0
#include "planner/network/switch_loads.hpp"

#include <algorithm>
#include <set>

#include "planner/network/routed_callers.hpp"
#include "planner/network/topology.hpp"

namespace mastline {

namespace {

// RFC 3376 section 8.11: a host repeats its unsolicited report within 1 s; RFC 2236 section 8.10:
// within 10 s.
double unsolicited_interval(const NetworkPolicy& n) { return n.igmp_version >= 3 ? 1.0 : 10.0; }

// What each switch hears of and sends to, over all its ports.
struct Ports {
    std::int64_t displays = 0;  // on ports that reports come in by
    std::set<CarriageIndex> always;
    std::int64_t fullest = 0;   // groups on one port
};

std::vector<Ports> ports_of(const Site& site, const Sides& sides) {
    std::vector<Ports> out(site.venue.switches.size());
    for (SwitchIndex s = 0; s < out.size(); ++s) {
        out[s].displays = site.own[s].displays;
        for (const auto& e : site.own[s].always.entries()) out[s].always.insert(e.carriage);
        if (site.own[s].displays > 0)
            out[s].fullest = site.rules.choices(1, site.switches[s]->fast_leave);
    }
    sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach& ahead) {
        auto& ports = out[d.from];
        ports.fullest = std::max(ports.fullest, site.rules.worst_group_count(behind, ahead));
        // Reports go towards the querier and multicast routers only (RFC 4541 section 2.1.1).
        if (ahead.routers > 0) return;
        ports.displays += ahead.displays;
        for (const auto& e : ahead.always.entries()) ports.always.insert(e.carriage);
    });
    return out;
}

// `joined`: memberships that it hears of.
void add_switch(const Site& site, SwitchIndex s, std::int64_t groups, std::int64_t fullest,
                std::int64_t joined, NetworkLoad& out) {
    const auto& network = site.venue.network;
    SwitchLoad load;
    load.name = site.switches[s]->name;
    load.groups = groups;
    load.joins_on_a_port = fullest;
    load.queue_frames = fullest;
    load.reports_after_query = static_cast<double>(joined) /
                               std::chrono::duration<double>(network.query_response).count();
    load.reports_after_power_cut =
        static_cast<double>(joined) * network.robustness / unsolicited_interval(network);
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
        add_switch(site, s, std::min(lineup, site.rules.choices(p.displays) + always), p.fullest,
                   p.displays + always, out);
    }
    sort_switches(out);
}

void add_routed_switches(const Site& site, const RoutedTrees& routed, NetworkLoad& out) {
    for (SwitchIndex s = 0; s < site.venue.switches.size(); ++s) {
        const auto& own = site.own[s];
        std::int64_t fullest =
            own.displays > 0 ? site.rules.choices(1, site.switches[s]->fast_leave) : 0;
        for (const auto& n : site.topology.neighbours(s))
            fullest = std::max(fullest, static_cast<std::int64_t>(
                                            out.links[site.topology.slot(n.link, s)].groups.size()));
        const auto callers = callers_through(routed, s);
        const auto choices = routed_choices(site, callers, routed.through[s]);
        std::int64_t groups = 0;  // no stream comes along two trees
        for (std::size_t i = 0; i < callers.size(); ++i)
            groups += site.heaviest.pick_count(*callers[i].sources, *callers[i].always, choices[i]);
        add_switch(site, s, groups, fullest,
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
