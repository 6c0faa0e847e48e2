// SPDX-License-Identifier: Apache-2.0
// Cards of a routed network that wait in the group of another and send once they hear it no more.
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

}  // namespace mastline
