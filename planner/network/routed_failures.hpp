// SPDX-License-Identifier: Apache-2.0
// Every single failure of link, bundle member, switch, card and chassis in a routed network. Of each
// tree only what the failure moves is reckoned again, and of the links only those that something
// moved onto.
#pragma once

#include "planner/network/failure_record.hpp"
#include "planner/network/routed_mix.hpp"

namespace mastline {

// Raises worst_failure of the links in `out` and of the members of bundles; fills its cut_off and source_losses. REQUIRES:
// worst_mix is filled.
void add_routed_failures(const Site& site, const RoutedTrees& routed, const Addressing& addressing,
                         NetworkLoad& out);

// With the worst mix of these callers.
void raise_routed_mix(FailureRecord& record, const Site& site, RoutedMix& mix, const Direction& d,
                      const std::vector<RoutedCaller>& callers, const Crowds& crowds);

}  // namespace mastline
