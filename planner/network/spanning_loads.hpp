// SPDX-License-Identifier: Apache-2.0
// The loads of a network whose streams follow the spanning tree, nothing failed.
#pragma once

#include "mastline/network/network_load.hpp"
#include "planner/network/site.hpp"
#include "planner/network/tree.hpp"

namespace mastline {

// Fills the links of `out`: both directions of venue link i stand at 2 i (from, to) and 2 i + 1.
void add_spanning_loads(const Site& site, const Tree& tree, NetworkLoad& out);

// Where the load of a direction stands among those.
inline std::size_t slot_of(const Site& site, LinkIndex link, SwitchIndex from) {
    return 2 * std::size_t{link} + (site.venue.links[link].from == site.venue.switches[from].name ? 0 : 1);
}

}  // namespace mastline
