// SPDX-License-Identifier: Apache-2.0
// Items that an integer program need not tell apart.
#pragma once

#include <vector>

#include "mastline/assignment/model.hpp"

namespace mastline::packing {

// Items that no rule tells apart; counted, not named, in the program.
struct ItemGroup {
    std::vector<std::size_t> items;
    std::size_t item_class = 0;
};

// Groups in an order of their own, items in theirs.
std::vector<ItemGroup> groups_of(const Model& model);

}  // namespace mastline::packing
