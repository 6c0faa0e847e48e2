// SPDX-License-Identifier: Apache-2.0
// Bins that are alike in every respect: which of them is taken makes no difference.
#pragma once

#include <vector>

#include "mastline/assignment/model.hpp"

namespace mastline::packing {

// Each type's bins in order; types by their first bin.
std::vector<std::vector<std::size_t>> bin_types(const Model& model);

}  // namespace mastline::packing
