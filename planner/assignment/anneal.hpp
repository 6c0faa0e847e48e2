// SPDX-License-Identifier: Apache-2.0
// Simulated annealing (Kirkpatrick, Gelatt and Vecchi, 1983) towards a packing that keeps every rule.
#pragma once

#include <vector>

#include "planner/assignment/placement.hpp"

namespace mastline::packing {

// Moves and exchanges copies within `bins` until every copy has a home and, where the model asks for
// it, every loss is survived; whether it came to that within `rounds`. Copies that find no room at
// first may wait without a home. The same start gives the same end.
bool anneal(Placement& placement, const std::vector<std::size_t>& bins, int rounds);

}  // namespace mastline::packing
