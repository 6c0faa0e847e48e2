// SPDX-License-Identifier: Apache-2.0
// What is known of a lineup that is being watched: how each channel stands and since when, what it did
// in the last hour, and what happened. Looks in, pure otherwise.
#pragma once

#include <cstdint>
#include <deque>
#include <string>
#include <vector>

#include "mastline/cause/cause.hpp"
#include "mastline/watch/channel_history.hpp"
#include "mastline/watch/lineup_look.hpp"

namespace mastline {

struct ChannelState {
    ChannelLook look;       // the last
    Outcome outcome = Outcome::not_judged;  // failed, not_judged or passed
    Duration since{};       // of this outcome (Unix epoch)
    std::optional<Duration> failing_since;  // until it is seen to be right again
    std::vector<std::string> told;  // checks that events of this failure have named
    std::uint64_t failures = 0;   // how often it began to fail
    Duration failed_for{};        // altogether, since the start
    ChannelHistory history;
};

enum class EventKind : std::uint8_t { failed, other_fault, recovered, network_failed, network_recovered };

struct WatchEvent {
    std::uint64_t number = 0;  // from 1
    Duration at{};             // Unix epoch
    EventKind kind = EventKind::failed;
    std::size_t channel = 0;   // index in the lineup; of no meaning for the network
    std::vector<std::string> checks;  // that fail, the most telling first
    std::string text;          // what was found; of a recovery, how long it had failed
    bool operator==(const WatchEvent&) const = default;
};

class LineupState {
public:
    static constexpr std::size_t kMostEvents = 1000;

    // Every channel is unsure until a look has told.
    LineupState(ExpectedLineup lineup, std::string where, Duration start);

    // What happened since the look before.
    std::vector<WatchEvent> update(LineupLook look);

    const ExpectedLineup& lineup() const { return lineup_; }
    const std::string& where() const { return where_; }  // "interface eth0"
    Duration start() const { return start_; }
    Duration now() const { return now_; }                // of the last look
    const std::vector<ChannelState>& channels() const { return channels_; }  // in the order of the lineup
    const std::deque<WatchEvent>& events() const { return events_; }         // the last kMostEvents, oldest first
    const std::vector<Explanation>& explanations() const { return explanations_; }
    const Check& querier() const { return querier_; }
    const std::vector<Check>& network() const { return network_; }
    std::uint64_t own_drops() const { return own_drops_; }
    std::size_t count(Outcome outcome) const;

private:
    // Whether its outcome is another one now.
    bool update_channel(std::size_t index, ChannelLook look, Duration at, std::vector<WatchEvent>& out);
    void explain_failures();
    void update_querier(Check querier, std::vector<WatchEvent>& out);

    ExpectedLineup lineup_;
    std::string where_;
    Duration start_, now_;
    std::vector<ChannelState> channels_;
    std::deque<WatchEvent> events_;
    std::uint64_t last_number_ = 0;
    std::vector<Explanation> explanations_;
    Check querier_;
    std::vector<Check> network_;
    std::uint64_t own_drops_ = 0;
};

// "12 s", "7 min", "3 h 05 min", "2 d 4 h".
std::string rough_time(Duration length);

// Indices of the channels: failed first, then unsure; of equals the one that changed last, then the
// lineup's order.
std::vector<std::size_t> worst_first(const std::vector<ChannelState>& channels);

}  // namespace mastline
