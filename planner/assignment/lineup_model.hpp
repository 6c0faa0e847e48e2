// SPDX-License-Identifier: Apache-2.0
// A venue's channels and cards as a packing problem, and the way back.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/assignment/assign.hpp"

namespace mastline {

// What items and classes of the model stand for; its bins are the venue's cards, one for one.
struct LineupModel {
    packing::Model model;
    std::vector<std::size_t> channel;                 // of each item
    std::vector<std::optional<std::size_t>> carrier;  // of each class: a carrier
    std::vector<std::optional<std::size_t>> input;    // or an in-house input
    std::vector<std::size_t> sourceless;              // channels whose source is unknown
};

LineupModel lineup_model(const Venue& venue, const SignalPlan& signal,
                         const std::vector<KeptHome>& kept = {});

// Which cards can take each class of a venue's model when the lanes of `signal` come in.
std::vector<std::vector<bool>> allowed_cards(const Venue& venue, const SignalPlan& signal, const LineupModel& lineup);

// How many user bands a card input has; 0: it takes no single cable.
int user_bands_at(const SignalPlan& signal, const PortRef& input);

// The inputs by which a carrier comes to a tuner card, the best first. Those of a card that is not
// wired yet are those of the card that it is wired like.
std::vector<PortRef> ways_in(const Venue& venue, const SignalPlan& signal, std::size_t card, std::size_t carrier);

// The input of a tuner card by which a carrier comes in best; empty when none receives it.
std::string receiving_input(const Venue& venue, const SignalPlan& signal, std::size_t card,
                            std::size_t carrier);

const CardModel* model_of(const Venue& venue, const Card& card);

}  // namespace mastline
