// SPDX-License-Identifier: Apache-2.0
// Whether the bins can hold everything, the reserve included, by which bins receive which classes: every
// way that is not alike to another is looked at unless counts rule it out, and an integer program, small
// because nothing is left open but numbers of items, judges what is left.
#pragma once

#include "planner/assignment/exact.hpp"
#include "planner/assignment/work_clock.hpp"

namespace mastline::packing {

// For a model with a reserve whose items all have one copy, and 64 bins at most.
bool can_be_received_exhaustively(const Model& model, const std::vector<std::size_t>& bins);

// The model with no rules but licences, tuners and the reserve; what does not fit it fits no other.
Model counts_alone(const Model& model);

// `open`: not within so many steps, each program counting as thirty, or until that time.
Packing receive_exhaustively(const Model& model, const std::vector<std::size_t>& bins, std::int64_t steps,
                             WorkClock::time_point until);

}  // namespace mastline::packing
