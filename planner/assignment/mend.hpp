// SPDX-License-Identifier: Apache-2.0
// Simulated annealing (Kirkpatrick, Gelatt and Vecchi, 1983) in which rules may be broken for a while
// at a price: where bins are all but full, a packing that keeps every rule is reached through others.
#pragma once

#include <optional>
#include <vector>

#include "mastline/assignment/model.hpp"
#include "planner/assignment/work_clock.hpp"

namespace mastline::packing {

struct Mended {
    std::vector<Homes> homes;
    std::vector<std::size_t> used;  // in order
};

// Copies in `bins`, or in others of the model that cost no more, until every rule is kept and every
// loss survived: where a reserve is asked for, each protected item has a place of refuge beside its
// home. None after that many rounds, or at `end`. The same question has the same answer.
std::optional<Mended> mend(const Model& model, std::vector<std::size_t> bins, std::int64_t rounds, WorkClock::time_point end);

}  // namespace mastline::packing
