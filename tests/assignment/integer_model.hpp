// SPDX-License-Identifier: Apache-2.0
// The assignment as a mixed integer program, written a second time for the tests: variables for items
// or for groups of like items, solved by CBC or by GLPK. None of it is shared with the planner.
#pragma once

#include <optional>
#include <vector>

#include "mastline/assignment/model.hpp"

namespace mastline::test {

enum class Solver { cbc, glpk };

enum class Answer { yes, no, unknown };

// Whether the model has a plan of a cost no greater than `most`.
Answer has_plan(const packing::Model& model, std::int64_t most, double seconds, Solver solver = Solver::cbc);

// The fewest copies away from their previous bin, of all plans; none: no plan or no time.
std::optional<int> fewest_moves(const packing::Model& model, double seconds, Solver solver = Solver::glpk);

// Whether the protected first copies in the bins of one loss group find room in the other used ones.
Answer survives(const packing::Model& model, const std::vector<packing::Homes>& homes,
                const std::vector<std::size_t>& used, std::size_t loss_group);

}  // namespace mastline::test
