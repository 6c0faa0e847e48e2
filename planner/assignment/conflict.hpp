// SPDX-License-Identifier: Apache-2.0
// Where not everything fits and no count says why: a small set of items that does not fit by itself.
#pragma once

#include <vector>

#include "mastline/assignment/model.hpp"

namespace mastline::packing {

struct Conflict {
    std::vector<std::size_t> items;  // none: nothing was proven
    bool smallest = false;           // without any one of them the others fit
};

// By a deletion filter (J. Chinneck and E. Dravnieks, "Locating minimal infeasible constraint sets in
// linear programs", ORSA Journal on Computing 3, 1991): items leave as long as what stays is proven not
// to fit all the bins, whole classes first.
Conflict conflict_of(const Model& model, double seconds);

}  // namespace mastline::packing
