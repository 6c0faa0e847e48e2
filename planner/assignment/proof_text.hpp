// SPDX-License-Identifier: Apache-2.0
// Rulings in the words of the trade: cards, licences, carriers.
#pragma once

#include <string>
#include <vector>

#include "planner/assignment/lineup_model.hpp"

namespace mastline {

// "A1, A2 and A3"; long lists end in "and 7 more".
std::string card_list(const Venue& venue, const std::vector<std::size_t>& cards);
std::string channel_list(const Venue& venue, const std::vector<std::size_t>& channels);
std::string list_of(const std::vector<std::string>& words);

// "1 channel", "3 channels".
std::string counted(std::int64_t n, const std::string& noun);

// "83 licences needed, 80 available".
std::string ruling_text(const Venue& venue, const LineupModel& lineup, const packing::Ruling& ruling);

CardProof proof_of(const Venue& venue, const LineupModel& lineup, const packing::Part& part);

}  // namespace mastline
