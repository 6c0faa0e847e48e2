// SPDX-License-Identifier: Apache-2.0
// When cards or the ways to them are lost: which other card could take each channel, all of them
// together, with everything that still runs left where it is.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "mastline/assignment/assignment.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// What is gone.
struct Outage {
    std::vector<bool> card;  // by card of the venue
    // Whether a lane still comes in at a card input.
    std::function<bool(const PortRef& input, const ReachedLane& lane)> comes_in;
};

struct Refuge {
    std::size_t channel = 0;
    std::optional<std::size_t> card;  // that can take it; none: there is no room
    std::string input;                // of that card, for a carrier
    bool idle_card = false;           // the card carries nothing now
    std::string why;                  // there is no room
};

struct Refuges {
    std::vector<Refuge> channels;  // as asked for
    bool proven = true;            // no other way places more
};

// Answers for one plan, whose venue and signals stay where they are.
class RefugeFinder {
public:
    RefugeFinder(const Venue& venue, const SignalPlan& signal);
    ~RefugeFinder();

    // Homes for `channels`, which are dark; `running` are the homes that go on. Protected channels come
    // first, then as many as there can be. In an emergency a wish for a card and the spreading of genres
    // do not count; every other rule does. Cards that would have to be bought are no refuge.
    Refuges find(const Outage& outage, const std::vector<ChannelHome>& running, const std::vector<std::size_t>& channels) const;

private:
    struct State;
    std::unique_ptr<const State> state_;
};

}  // namespace mastline
