// SPDX-License-Identifier: Apache-2.0
#include "mastline/network/network_load.hpp"

#include "planner/network/failures.hpp"
#include "planner/network/load_findings.hpp"
#include "planner/network/routed_loads.hpp"
#include "planner/network/site.hpp"
#include "planner/network/spanning_loads.hpp"
#include "planner/network/tree.hpp"
#include "planner/network/varying_loads.hpp"

namespace mastline {

NetworkLoad network_load(const Venue& venue, const Assignment& assignment,
                         const Addressing& addressing, Findings& findings) {
    NetworkLoad out;
    if (venue.switches.empty()) return out;
    const Site site(venue, network_carriages(venue, assignment, addressing));
    if (venue.network.forwarding == Forwarding::routed) {
        add_routed_loads(site, addressing, out, findings);
    } else {
        const Tree tree = grow_tree(site.topology, lowest_bridge(site.topology));
        add_spanning_loads(site, tree, addressing, out);
        add_spanning_failures(site, tree, addressing, out);
    }
    add_varying_loads(site, out);
    report_network(site, out, findings);
    return out;
}

}  // namespace mastline
