// SPDX-License-Identifier: Apache-2.0
// By which of its inputs a tuner card takes each of its carriers.
#pragma once

#include <map>
#include <set>
#include <string>

#include "planner/assignment/lineup_model.hpp"

namespace mastline {

// "in1" by carrier: each comes in at its best input as far as the user bands there go round, and as
// many as can be come in at all. A carrier that no user band is left for is not in it.
std::map<std::size_t, std::string> tuner_inputs(const Venue& venue, const SignalPlan& signal, std::size_t card,
                                                const std::set<std::size_t>& carriers);

}  // namespace mastline
