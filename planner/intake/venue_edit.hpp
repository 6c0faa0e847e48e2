// SPDX-License-Identifier: Apache-2.0
// A change of a venue as data: tried on a plan first, written to the venue's files when it is wanted.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "mastline/units/level.hpp"
#include "mastline/venue/cards.hpp"

namespace mastline {

// Devices and links are named as the files write them: a device with copies is one, all of them change.

// Trims of an amplifier: one for all lanes or one per lane. Empty: the planner finds them.
struct SetTrim {
    std::string device;
    std::vector<Gain> trim;
};

// None: the planner finds it.
struct SetSlope {
    std::string device;
    std::optional<Gain> slope;
};

// Pads of a pad place: one for all lanes or one per lane, none where the lane goes straight through.
// Empty: the planner finds them.
struct SetPads {
    std::string device;
    std::vector<std::optional<Gain>> pads;
};

// A pad or other part that takes off the same at every frequency.
struct SetLoss {
    std::string device;
    Gain loss;
};

// Below the last card of the files.
struct AddCard {
    std::string name, model;
    std::string chassis;     // empty: it stands alone
    std::string wired_like;  // card whose lanes would reach it too; empty: none
    CardState state = CardState::buy;
};

// A link without a name is "FROM/TO".
struct RemoveLink {
    std::string link;
};

using VenueEdit = std::variant<SetTrim, SetSlope, SetPads, SetLoss, AddCard, RemoveLink>;

// In words: "amplifier: trim -2 dB, -3 dB", "link core/floor-1: removed".
std::string to_text(const VenueEdit& edit);

}  // namespace mastline
