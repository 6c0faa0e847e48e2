// SPDX-License-Identifier: Apache-2.0
// Channels to cards: fewest cards, proven; protected; stable on change.
#pragma once

#include <string>
#include <vector>

#include "mastline/assignment/assignment.hpp"
#include "mastline/assignment/model.hpp"
#include "mastline/findings/finding.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// Where an earlier plan had a channel.
struct KeptHome {
    ChannelNumber number;
    int copy = 1;
    std::string source;                // service or input that it showed
    std::string card;
    std::optional<int> encoder_input;
};

// The same venue gives the same assignment, in whatever order its channels stand in the files.
Assignment assign(const Venue& venue, const SignalPlan& signal, Findings& findings,
                  const packing::Effort& effort = {});

// As above, after an earlier plan: fewest moves come before fewest cards.
Assignment assign(const Venue& venue, const SignalPlan& signal, const std::vector<KeptHome>& kept,
                  Findings& findings, const packing::Effort& effort = {});

}  // namespace mastline
