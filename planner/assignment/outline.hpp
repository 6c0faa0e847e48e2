// SPDX-License-Identifier: Apache-2.0
// The model by counts: types of bins and classes of items, for bounds and for filling.
#pragma once

#include <optional>
#include <vector>

#include "planner/assignment/fill.hpp"

namespace mastline::packing {

struct OutlineClass {
    FillClass fill;               // size counts copies
    int protected_items = 0;      // in reserve mode
    std::array<std::int64_t, 2> rate{};
};

struct Outline {
    std::vector<std::vector<std::size_t>> bins;  // of each type
    std::vector<FillType> types;                 // count: all there are
    std::vector<std::int64_t> cost;              // of one bin of each type
    std::vector<bool> forced;                    // items are pinned to the type's bin
    std::vector<OutlineClass> classes;
};

// None when there are more types than a choice can be written for (64).
std::optional<Outline> outline_of(const Model& model);

// How many bins of each type.
using Choice = std::vector<int>;

std::vector<std::size_t> bins_of(const Outline& outline, const Choice& choice);

// Why these bins cannot be enough; Reason::none when no count says so.
Ruling rule_out(const Model& model, const Outline& outline, const Choice& choice);

}  // namespace mastline::packing
