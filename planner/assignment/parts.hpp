// SPDX-License-Identifier: Apache-2.0
// A model taken apart into models that have nothing to do with each other.
#pragma once

#include <vector>

#include "mastline/assignment/model.hpp"

namespace mastline::packing {

struct PartModel {
    Model model;
    std::vector<std::size_t> items, bins;  // number in the whole by number in the part
    std::vector<std::size_t> classes;
};

// Bins hang together by a class that may use both, by a limit, or by being lost together.
std::vector<PartModel> parts_of(const Model& model);

// The model with these of its items, renumbered in that order, and all its bins.
Model with_items(const Model& model, const std::vector<std::size_t>& items);

}  // namespace mastline::packing
