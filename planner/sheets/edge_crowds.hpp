// SPDX-License-Identifier: Apache-2.0
// Which switches of a large network are drawn together: a thousand boxes are no picture.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "planner/sheets/plan_index.hpp"

namespace mastline {

// Links between a switch and the nearest one that something sends from. Switches that no sender
// reaches are left out; without senders the first switch counts as one.
std::map<std::string, std::size_t> distances_from_senders(const Venue& venue);

// Of many edge switches with the same neighbours, all but the fullest. An edge switch leads no
// further, sends nothing and is neither querier nor multicast router. Where there are too many all the same,
// so with the switches that these hang on: one crowd then holds several such, with all that hangs on them.
std::vector<std::vector<std::string>> edge_crowds(
    const PlanIndex& index, const std::map<std::string, std::size_t>& distances);

}  // namespace mastline
