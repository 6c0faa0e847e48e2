// SPDX-License-Identifier: Apache-2.0
// What the plan makes each card do.
#pragma once

#include <string>
#include <vector>

#include "planner/sheets/plan_index.hpp"

namespace mastline {

struct CardUse {
    std::size_t channels = 0;
    std::vector<std::string> carriers;  // distinct, in order of first use
    std::vector<std::string> inputs;    // of encoders: the house inputs taken in
    BitRate rate;                       // transport rate sent
};

// As Venue::cards.
std::vector<CardUse> card_uses(const PlanIndex& index);

}  // namespace mastline
