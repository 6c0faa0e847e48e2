// SPDX-License-Identifier: Apache-2.0
// The words that screen, page and log of a running watch share. Not yet escaped for any of them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/watch/lineup_state.hpp"

namespace mastline {

std::string_view outcome_word(Outcome outcome);   // "failed", "unsure", "right"
std::string_view event_word(EventKind kind);      // "failed", "another fault", "right again"
bool is_of_channel(const WatchEvent& event);
// "101 House News", or "network".
std::string event_subject(const LineupState& state, const WatchEvent& event);
// "101 House News: failed, nothing arrives (flow.arrival and 2 more)"
std::string event_sentence(const LineupState& state, const WatchEvent& event);

// What happened at once to several channels alike, told as one.
struct EventGroup {
    WatchEvent event;     // of one channel: as it was; of several: the last, without what was found
    std::string subject;  // "101 House News", "40 channels from 101 to 140"
};
// The newest first, `most` at most. Up to three of a kind stay apart.
std::vector<EventGroup> grouped_events(const LineupState& state, std::size_t most);
std::string event_sentence(const EventGroup& group);
// Why a channel is not right; empty when it is.
std::string why_text(const Verdict& verdict);
std::vector<Check> checks_worst_first(const Verdict& verdict);
// "58 right, 2 failed, 1 unsure"
std::string count_text(const LineupState& state);
// Local time of day, "02:14:07".
std::string clock_text(Duration since_epoch);

}  // namespace mastline
