// SPDX-License-Identifier: Apache-2.0
// What may come in the place of lost streams of a routed network: cards that wait in the group of another send once
// they hear it no more, and what is joined all the time comes as its second copy.
#pragma once

#include <vector>

#include "planner/network/routed_ways.hpp"
#include "planner/network/site.hpp"

namespace mastline {

struct RoutedStandby {
    std::size_t from = 0, to = 0;  // trees, of different switches
    SourceMask sources;
};

std::vector<RoutedStandby> standbys_of(const Site& site, const RoutedWays& ways);

// A join that moves to a carriage of another tree.
struct RoutedSecond {
    std::size_t from = 0, to = 0;  // trees, of different switches
    CarriageIndex carriage = kNone;
    SwitchIndex at = kNone;
};

std::vector<RoutedSecond> seconds_of(const Site& site, const RoutedWays& ways);

}  // namespace mastline
