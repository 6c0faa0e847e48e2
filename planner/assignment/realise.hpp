// SPDX-License-Identifier: Apache-2.0
// From counts to items, and from a packing to a better one of the same cost.
#pragma once

#include "planner/assignment/outline.hpp"
#include "planner/assignment/placement.hpp"

namespace mastline::packing {

// Items into the bins as the filling counts them, then repaired where rates, pins, spreading or
// limits are in the way. Copies for which the repair does not succeed have no home.
Placement realise(const Model& model, const Outline& outline, const Filling& filling);

// Puts every copy without a home somewhere within `bins`, moving others if need be; whether all
// found one.
bool place_rest(Placement& placement, const std::vector<std::size_t>& bins);

// Fewer (bin, class) pairs, then fewer items without a home after the worst loss, then evener rates,
// by changes that keep every rule. Items with a previous bin stay where they are when `keep` is set.
void improve(Placement& placement, const std::vector<std::size_t>& used, bool keep);

}  // namespace mastline::packing
