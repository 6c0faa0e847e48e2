// SPDX-License-Identifier: Apache-2.0
// A running watch as JSON, for its page and for scripts. Pure. Strings are plain lines.
#pragma once

#include <string>
#include <vector>

#include "mastline/still/still.hpp"
#include "mastline/watch/lineup_state.hpp"

namespace mastline {

// Everything but the checks of single channels ("mastline-watch-state 1"). `stills`: in the order of the lineup;
// empty where they were not asked for.
std::string live_state_json(const LineupState& state, Duration window, const std::vector<Still>& stills = {});
// What changes with every look: "now_ms", and for each channel [outcome, rate_bps].
std::string live_tick_json(const LineupState& state);
// One channel with all its checks, its hour and its events ("mastline-watch-channel 1").
// REQUIRES: index < state.channels().size()
std::string live_channel_json(const LineupState& state, std::size_t index, const Still* still = nullptr);

// The hour in `parts` characters, oldest first: ' ' nothing known, '0' right, '1' to '9' so many ninths of
// the time failed (never '0' where any of it did), 'u' unsure for a part of the time.
std::string history_text(const ChannelHistory& history, Duration now, std::size_t parts);

}  // namespace mastline
