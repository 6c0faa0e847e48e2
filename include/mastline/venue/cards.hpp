// SPDX-License-Identifier: Apache-2.0
// What receives or encodes and sends IP: cards, their models and the chassis they sit in.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/findings/place.hpp"
#include "mastline/net/ip_address.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/units/frequency.hpp"
#include "mastline/units/level.hpp"

namespace mastline {

enum class CardKind : std::uint8_t { tuner, encoder };

// Whether an output limit counts transport packets alone or frames on the wire.
enum class RateLayer : std::uint8_t { transport, wire };

// One kind of card, as its data sheet says. Invented names in examples.
struct CardModel {
    std::string name;
    CardKind kind = CardKind::tuner;
    int licences = 0;              // channels a card is licensed for unless the card says otherwise
    int tuners = 0;                // carriers it can receive at once, shared by its inputs
    int inputs = 1;                // RF inputs "in1".. or encoder inputs
    std::vector<int> licence_inputs;  // inputs that must be connected for the full licence; each
                                      // that is not takes an equal share of it away
    std::optional<int> site_licences;     // limit over all cards of this model
    std::vector<std::string> systems;     // tuner: "dvb-s2", ...; empty receives all
    std::vector<std::string> connectors;  // encoder: "hdmi", "sdi"
    std::vector<std::string> formats;     // encoder: "1080p50"; empty accepts all
    std::optional<Level> window_low, window_high;  // RF input window
    std::optional<Gain> slope_limit;      // greatest difference between carriers at an input
    std::optional<Gain> noise_figure;
    std::optional<BitRate> output_limit;
    RateLayer output_layer = RateLayer::transport;
    int weight = 1;                // price or weight, for the cheapest choice
    std::optional<int> licence_weight;  // of one more licence
    Place place;
};

struct Chassis {
    std::string name;
    int slots = 1;
    std::vector<int> tuner_slots;    // slots that take tuner cards; empty: all
    std::vector<int> encoder_slots;  // slots that take encoder cards; empty: all
    std::optional<BitRate> output_limit;
    std::optional<int> licences;   // limit over all its cards
    std::optional<IpAddress> source;   // for its cards that have none of their own
    std::string attached_to;           // as above
    std::optional<BitRate> port_speed;
    Place place;
};

// Installed and stored cards cost nothing; `buy` may be bought.
enum class CardState : std::uint8_t { installed, store, buy };

struct Card {
    std::string name;              // also a device name: runs end at "A1.in1"
    std::string model;
    std::string chassis;           // empty: stands alone
    int slot = 0;                  // 0: any free slot
    CardState state = CardState::installed;
    int licences = -1;             // resolved: own value or the model's
    std::optional<IpAddress> source;  // address it sends from
    std::string attached_to;       // switch its output is plugged into (or its chassis's)
    std::optional<BitRate> port_speed;
    std::string wired_like;        // card whose inputs' lanes reach this one too; for cards to come
    Place place;
    Place model_place, chassis_place, slot_place, wired_like_place;
};

}  // namespace mastline
