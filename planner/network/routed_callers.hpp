// SPDX-License-Identifier: Apache-2.0
// Which trees bring something to a place of a routed network.
#pragma once

#include <vector>

#include "planner/network/routed_mix.hpp"

namespace mastline {

// Trees that lead over this direction of a link to displays or joins. `routed` must outlive them.
std::vector<RoutedCaller> callers_along(const RoutedTrees& routed, const Direction& d);

// Likewise to, or over, a switch.
std::vector<RoutedCaller> callers_through(const RoutedTrees& routed, SwitchIndex s);

}  // namespace mastline
