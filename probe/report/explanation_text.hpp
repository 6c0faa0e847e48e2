// SPDX-License-Identifier: Apache-2.0
// What failed channels share, in words: the same on a report, a screen and a page. Not yet escaped.
#pragma once

#include <cstddef>
#include <limits>
#include <string>
#include <vector>

#include "mastline/cause/cause.hpp"

namespace mastline {

// A report names every channel; where room is short, more than these are told by number and ends.
constexpr std::size_t kEveryChannel = std::numeric_limits<std::size_t>::max(), kFewChannels = 8;

// "channels 101, 102"; more than `most`: "40 channels from 101 to 140".
std::string channel_list(const std::vector<std::string>& channels, std::size_t most);
// "card:A1 or chassis:A: channels 101, 102"
std::string explanation_text(const Explanation& explanation, std::size_t most);

}  // namespace mastline
