// SPDX-License-Identifier: Apache-2.0
// The tables under `planner` of a plan file that a later plan reads.
#pragma once

#include <array>

#include "mastline/text/table_doc.hpp"

namespace mastline {

inline constexpr std::array<KeyDoc, 20> kPlannerKeys{{
    {"finding", "list of tables", false, "What the engineer must know."},
    {"home", "list of tables", false, "Where each channel is received or encoded."},
    {"unplaced", "list of tables", false, "Channels without a home."},
    {"proof", "list of tables", false, "Why no fewer cards would do."},
    {"move", "list of tables", false, "Channels that are not where the plan before had them."},
    {"cards", "table", false, "Cards kept idle and cards to be bought."},
    {"addressing", "table", false, "Groups that rest, and how many the ranges can give."},
    {"device", "list of tables", false, "Equipment."},
    {"setting", "list of tables", false, "Every trim, slope, pad and tap."},
    {"part", "list of tables", false, "What to have at hand."},
    {"supply", "list of tables", false, "Remote power: who feeds whom."},
    {"cable", "list of tables", false, "Every cable."},
    {"level", "list of tables", false, "The level of every lane at every port."},
    {"reach", "list of tables", false, "The lanes that each card input gets."},
    {"noise", "list of tables", false, "Carrier-to-noise ratio of every carrier at the cards."},
    {"amplifier", "list of tables", false, "What every amplifier puts out against its limit."},
    {"user_band", "list of tables", false, "Frequency slots of single-cable outputs in use."},
    {"network", "table", false, "Who is the root of the spanning tree, and the querier."},
    {"load", "list of tables", false, "What every link must carry."},
    {"cut_off", "list of tables", false, "Zones that a single failure cuts off."},
}};
inline constexpr TableDoc kPlannerDoc{"[planner]", "What the planner knows.", kPlannerKeys};

inline constexpr std::array<KeyDoc, 7> kHomeKeys{{
    {"channel", "channel number", true, "The channel."},
    {"copy", "whole number", true, "2 for the second carriage of a protected channel."},
    {"source", "text", true, "Service or input that it shows."},
    {"card", "text", true, "Card that carries it."},
    {"input", "text", false, "Input of the card."},
    {"carrier", "text", false, "Carrier that the card receives for it."},
    {"encoder_input", "whole number", false, "Encoder input, from 1."},
}};
inline constexpr TableDoc kHomeDoc{"[[planner.home]]", "One carriage of one channel.", kHomeKeys};

inline constexpr std::array<KeyDoc, 2> kAddressingOutcomeKeys{{
    {"capacity", "whole number", true, "Groups that the ranges can give without a collision."},
    {"resting", "list of tables", false, "Groups not to be used again yet."},
}};
inline constexpr TableDoc kAddressingOutcomeDoc{"[planner.addressing]", "The groups as a whole.",
                                                kAddressingOutcomeKeys};

inline constexpr std::array<KeyDoc, 4> kRestingKeys{{
    {"group", "multicast group", true, "The group."},
    {"freed_on", "day", true, "The day from which it rests: 2026-03-01."},
    {"channel", "text", false, "The channel whose it was, and is again if that comes back."},
    {"copy", "whole number", false, "Which copy of that channel; default 1."},
}};
inline constexpr TableDoc kRestingDoc{"[[planner.addressing.resting]]", "One resting group.",
                                      kRestingKeys};

}  // namespace mastline
