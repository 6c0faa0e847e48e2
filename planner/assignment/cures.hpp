// SPDX-License-Identifier: Apache-2.0
// What would make room for channels that have none, tried one by one.
#pragma once

#include <string>

#include "mastline/signal/signal_plan.hpp"
#include "planner/assignment/lineup_model.hpp"

namespace mastline {

// Changes that were found to make everything of the part fit, as words: a lane brought to a card, licences
// on one card, further cards (the cheaper of these two first where both have a price), channels left
// unprotected, channels left out, in this order, which the text tells; of each kind the smallest that was
// found, with a word where a smaller one was not ruled out, and of cards the cheapest. `short_by` copies have no home now.
std::string cures_text(const Venue& venue, const SignalPlan& signal, const LineupModel& lineup,
                       const packing::Solution& solution, const packing::Part& part, std::int64_t short_by);

}  // namespace mastline
