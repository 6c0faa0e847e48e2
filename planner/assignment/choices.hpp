// SPDX-License-Identifier: Apache-2.0
// Choices of bins, the cheapest first.
#pragma once

#include <map>
#include <vector>

#include "planner/assignment/outline.hpp"

namespace mastline::packing {

struct CostedChoice {
    Choice choice;
    std::int64_t cost = 0;
};

struct Room {
    std::int64_t licences = 0, tuners = 0;
};

struct Choices {
    std::vector<CostedChoice> in_order;  // cheapest first, among equals the roomiest
    std::int64_t too_small = 0;          // left out: licences or tuners in all are too few
    std::map<std::int64_t, Room> most;   // of the choices of each cost
    bool all = true;                     // false: there were too many, these are only some
};

Choices choices_of(const Outline& outline);

// A cost that no sufficient choice is below, by licences and tuners alone.
std::int64_t least_cost(const Outline& outline);

}  // namespace mastline::packing
