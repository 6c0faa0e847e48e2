// SPDX-License-Identifier: Apache-2.0
#include "planner/venue/check_cards.hpp"

#include <algorithm>
#include <array>

namespace mastline {

namespace {

constexpr std::array<std::string_view, 8> kCardSystems{"dvb-s",  "dvb-s2", "dvb-t", "dvb-t2",
                                                   "dvb-c",  "dvb-c2", "atsc",  "isdb-t"};

void check_systems(const CardModel& model, Findings& findings) {
    for (const auto& system : model.systems)
        if (std::find(kCardSystems.begin(), kCardSystems.end(), system) == kCardSystems.end())
            load_error(findings, "lineup.unknown-system", model.place,
                       "card_model '" + model.name + "' names the unknown system '" + system + "'",
                       suggestion(system, kCardSystems));
}

void take_defaults(Card& card, const CardModel& model, const Chassis* chassis) {
    if (card.licences < 0) card.licences = model.licences;
    if (chassis == nullptr) return;
    if (!card.source) card.source = chassis->source;
    if (card.attached_to.empty()) card.attached_to = chassis->attached_to;
    if (!card.port_speed) card.port_speed = chassis->port_speed;
}

std::string who_is(const Card& card) { return "card '" + card.name + "'"; }

bool takes(const Chassis& chassis, CardKind kind, int slot) {
    const auto& slots = kind == CardKind::tuner ? chassis.tuner_slots : chassis.encoder_slots;
    return slots.empty() || std::find(slots.begin(), slots.end(), slot) != slots.end();
}

void check_slot(const Card& card, const CardModel& model, const Chassis& chassis, Findings& findings) {
    if (card.slot == 0) return;
    if (card.slot > chassis.slots)
        load_error(findings, "lineup.no-such-slot", card.slot_place,
                   who_is(card) + " is in slot " + std::to_string(card.slot) + " of chassis '" +
                       chassis.name + "'",
                   "it has slots 1 to " + std::to_string(chassis.slots));
    else if (!takes(chassis, model.kind, card.slot))
        load_error(findings, "lineup.wrong-slot", card.slot_place,
                   "slot " + std::to_string(card.slot) + " of chassis '" + chassis.name +
                       "' does not take " + who_is(card),
                   std::string("see its ") +
                       (model.kind == CardKind::tuner ? "tuner_slots" : "encoder_slots"));
}

void check_slot_taken(const std::vector<Card>& cards, std::size_t i, Findings& findings) {
    if (cards[i].slot == 0 || cards[i].chassis.empty()) return;
    for (std::size_t j = 0; j < i; ++j)
        if (cards[j].chassis == cards[i].chassis && cards[j].slot == cards[i].slot) {
            load_error(findings, "lineup.slot-taken", cards[i].slot_place,
                       who_is(cards[i]) + " is in slot " + std::to_string(cards[i].slot) +
                           " of chassis '" + cards[i].chassis + "', where " + who_is(cards[j]) + " is",
                       "one card per slot");
            return;
        }
}

void check_alone(const Card& card, Findings& findings) {
    if (card.slot > 0 && card.chassis.empty())
        load_error(findings, "lineup.slot-without-chassis", card.slot_place,
                   who_is(card) + " has a slot but no chassis", "name its chassis");
}

// Installed cards of a chassis must find room in it.
void check_room(const Venue& venue, const Chassis& chassis, Findings& findings) {
    const auto inside = std::count_if(venue.cards.begin(), venue.cards.end(), [&](const Card& c) {
        return c.chassis == chassis.name && c.state == CardState::installed;
    });
    if (inside > chassis.slots)
        load_error(findings, "lineup.chassis-overfull", chassis.place,
                   "chassis '" + chassis.name + "' holds " + std::to_string(inside) +
                       " installed cards in " + std::to_string(chassis.slots) + " slots",
                   "move a card, or make it one of the store");
}

}  // namespace

void check_cards(Venue& venue, const Names& names, Findings& findings) {
    const Names models(venue.card_models, "card model", findings);
    const Names chassis(venue.chassis, "chassis", findings);
    for (const auto& model : venue.card_models) check_systems(model, findings);
    for (std::size_t i = 0; i < venue.cards.size(); ++i) {
        Card& card = venue.cards[i];
        const auto model = models.find(card.model, who_is(card), card.model_place, findings);
        const auto home = chassis.find(card.chassis, who_is(card), card.chassis_place, findings);
        names.find(card.wired_like, who_is(card), card.wired_like_place, findings);
        check_alone(card, findings);
        check_slot_taken(venue.cards, i, findings);
        if (!model) continue;
        take_defaults(card, venue.card_models[*model], home ? &venue.chassis[*home] : nullptr);
        if (home) check_slot(card, venue.card_models[*model], venue.chassis[*home], findings);
    }
    for (const auto& c : venue.chassis) check_room(venue, c, findings);
}

}  // namespace mastline
