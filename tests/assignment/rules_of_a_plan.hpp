// SPDX-License-Identifier: Apache-2.0
// The rules of an assignment, written a second time for the tests, without a line of the planner's.
#pragma once

#include <string>
#include <vector>

#include "mastline/assignment/model.hpp"

namespace mastline::test {

// What is wrong with the plan; empty: nothing. With reserve, an exact re-homing is looked for after
// every loss, survivors staying.
std::vector<std::string> faults_of(const packing::Model& model, const std::vector<packing::Homes>& homes,
                                   const std::vector<std::size_t>& used);

}  // namespace mastline::test
