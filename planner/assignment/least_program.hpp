// SPDX-License-Identifier: Apache-2.0
// The cheapest choice of bins by integer programs: relaxed ones first, which are small and rule out
// much, then the whole.
#pragma once

#include "planner/assignment/exact.hpp"

namespace mastline::packing {

// Plans that cost from `least` (none costs less) to `most`. `packed`: the cheapest of all;
// `impossible`: there are none; `open`: with homes a plan, in any case a lower bound.
Packing cheapest_by_program(const Model& model, std::int64_t least, std::int64_t most, double seconds);

}  // namespace mastline::packing
