// SPDX-License-Identifier: Apache-2.0
// What stands in the list of loads whatever way streams take: links, cards and display ports.
#pragma once

#include "mastline/network/network_load.hpp"
#include "planner/network/flooding.hpp"
#include "planner/network/site.hpp"

namespace mastline {

// Both directions of every link, carrying nothing: venue link i stands at 2 i and 2 i + 1.
void add_idle_links(const Site& site, NetworkLoad& out);
void add_card_ports(const Site& site, NetworkLoad& out);
void add_display_ports(const Site& site, const SourceMask& sources, const FloodedAt& flooded,
                       NetworkLoad& out);

// Where the load of a direction stands.
inline std::size_t slot_of(const Site& site, LinkIndex link, SwitchIndex from) {
    return site.topology.slot(link, from);
}

}  // namespace mastline
