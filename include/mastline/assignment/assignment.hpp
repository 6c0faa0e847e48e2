// SPDX-License-Identifier: Apache-2.0
// Where each channel is received or encoded, and why no fewer cards would do.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace mastline {

// One carriage of one channel; indices into the venue.
struct ChannelHome {
    std::size_t channel = 0;
    int copy = 1;                        // 2: second carriage of a protected channel
    std::size_t card = 0;
    std::optional<std::size_t> carrier;  // received by a tuner of the card
    std::optional<int> encoder_input;    // 1-based, for in-house inputs
    std::string input;                   // "in1": the card input the lane or source comes in by
};

// Why the number of cards is the least, in words that stand on a sheet, and the figures in it.
struct CardProof {
    int cards = 0;        // used
    int lower_bound = 0;  // fewer are impossible
    bool proven = false;  // lower bound met, or every smaller choice searched
    std::string why;      // "4 are not enough: 83 licences needed, 80 available"
    std::string what;     // the cards it is about: "tuner cards A1, A2, A3"
};

// A channel that is not where the plan to be kept had it.
struct ChannelMove {
    std::size_t channel = 0;
    int copy = 1;
    std::string from;                // card of the old plan
    std::optional<std::size_t> to;   // card; none: it has no home now
    std::string why;
};

struct Assignment {
    std::vector<ChannelHome> homes;     // in channel order, then copy
    std::vector<std::size_t> unplaced;  // channels without a home
    std::vector<CardProof> proofs;      // one per set of cards that have to do with each other
    std::vector<std::size_t> standby;   // cards that are kept idle for a loss
    std::vector<std::size_t> to_buy;    // cards in use that have to be bought
    std::vector<ChannelMove> moves;     // against the plan to be kept
    bool fewest_moves = true;           // proven to be so
};

}  // namespace mastline
