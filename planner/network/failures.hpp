// SPDX-License-Identifier: Apache-2.0
// Every single failure of link, bundle member, switch, card and chassis, each re-converged and
// reckoned again where it touches something.
#pragma once

#include "mastline/network/network_load.hpp"
#include "planner/network/site.hpp"
#include "planner/network/tree.hpp"

namespace mastline {

// Fills worst_failure and failure of the links in `out`, those of the members of bundles, its cut_off and source_losses.
// REQUIRES: add_spanning_loads() filled the links.
void add_spanning_failures(const Site& site, const Tree& tree, const Addressing& addressing, NetworkLoad& out);

}  // namespace mastline
