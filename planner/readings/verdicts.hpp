// SPDX-License-Identifier: Apache-2.0
// What the weights of all scenarios say of each part.
#pragma once

#include <map>
#include <vector>

#include "planner/readings/evidence.hpp"

namespace mastline {

// One kind of fault of one suspect, whatever its shape with frequency.
struct Belief {
    double sure = 0;
    std::size_t possibility = 0;  // the likeliest shape
};

struct PartBelief {
    ChainPart part;
    double sure = 0;
    std::vector<Belief> faults;  // likeliest first
};

struct Beliefs {
    double faulty = 0;              // that anything is at fault
    std::vector<PartBelief> parts;  // likeliest first
    std::vector<std::size_t> best;  // the faults to be named: none, one or two possibilities
};

Beliefs beliefs_of(const Suspicions& suspicions, const std::vector<Scenario>& scenarios);

}  // namespace mastline
