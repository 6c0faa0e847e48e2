// SPDX-License-Identifier: Apache-2.0
// What to change where no settings meet every window.
#pragma once

#include <string>

#include "planner/signal/chain.hpp"
#include "planner/signal/open_settings.hpp"

namespace mastline {

// The cheapest changes of runs under which some settings meet every limit that a setting or a change
// has a part in, in words: "a pad of 3 dB in run T1 lane 2". A pad counts 2 per lane, an equaliser 3,
// a shorter run 4, an amplifier 10. Only runs on the way to one of the `missed` visits are changed;
// several runs where one is not enough. The search is short: the words say where a cheaper change may
// be left. Says what stands in the way where no such change helps.
std::string cheapest_cure(const Chain& chain, const OpenSettings& open,
                          const std::vector<std::size_t>& missed);

}  // namespace mastline
