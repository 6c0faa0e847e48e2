// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "mastline/text/joined.hpp"
#include "planner/sheets/card_use.hpp"
#include "planner/sheets/level_text.hpp"
#include "planner/sheets/rate_cell.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

std::string_view to_text(CardState state) {
    return state == CardState::installed ? "installed"
           : state == CardState::store   ? "in store"
                                         : "to buy";
}

bool is_among(const std::vector<std::size_t>& cards, std::size_t card) {
    return std::find(cards.begin(), cards.end(), card) != cards.end();
}

// What the plan makes of the card.
Cell part_played(const PlanIndex& index, std::size_t card, const CardUse& use) {
    const auto& assignment = index.plan().assignment;
    if (is_among(assignment.standby, card)) return text_cell("standby, kept idle for a loss");
    if (use.channels > 0 || is_among(assignment.to_buy, card)) return text_cell("in use");
    return text_cell(index.venue().cards[card].state == CardState::buy ? "not needed" : "idle");
}

}  // namespace

SheetTable card_table(const PlanIndex& index) {
    SheetTable out{"card-list",
                   "Cards",
                   {{"Card"},
                    {"Kind"},
                    {"Model"},
                    {"Chassis"},
                    {"Slot", "", true},
                    {"State"},
                    {"Use"},
                    {"Channels", "", true},
                    {"Licences", "", true},
                    {"Carriers", "", true},
                    {"Tuners", "", true},
                    {"Output", "Mbit/s", true},
                    {"Limit", "Mbit/s", true},
                    {"Sends from"},
                    {"Switch"},
                    {"Carriers received or inputs encoded"}},
                   {}};
    const auto uses = card_uses(index);
    for (std::size_t c = 0; c < index.venue().cards.size(); ++c) {
        const Card& card = index.venue().cards[c];
        const CardModel* model = index.model_of(card);
        const CardUse& use = uses[c];
        const bool tuner = model != nullptr && model->kind == CardKind::tuner;
        const bool limited = model != nullptr && model->output_limit;
        out.rows.push_back(
            {index.row_id(card.name),
             {link_cell(card.name, index.picture_id(card.name)),
              text_cell(tuner ? "tuner" : "encoder"), text_cell(card.model),
              text_cell(card.chassis), card.slot > 0 ? number_cell(card.slot, 0) : Cell{},
              text_cell(std::string(to_text(card.state))), part_played(index, c, use),
              count_cell(use.channels),
              number_cell(card.licences, 0), count_cell(use.carriers.size()),
              tuner ? number_cell(model->tuners, 0) : Cell{}, number_cell(megabits(use.rate), 1),
              limited ? number_cell(megabits(*model->output_limit), 1) : Cell{},
              text_cell(card.source ? mastline::to_text(*card.source) : ""),
              text_cell(card.attached_to), text_cell(joined(tuner ? use.carriers : use.inputs))}});
    }
    return out;
}

SheetTable proof_table(const PlanIndex& index) {
    SheetTable out{"proof-list",
                   "Why this many cards",
                   {{"Cards"},
                    {"Used", "", true},
                    {"At least", "", true},
                    {"Proven least"},
                    {"What gives the bound"}},
                   {}};
    for (const auto& proof : index.plan().assignment.proofs) {
        Cell proven = text_cell(proof.proven ? "yes" : "no");
        proven.fit = proof.proven ? Fit::good : Fit::near;
        out.rows.push_back({"",
                            {text_cell(proof.what), number_cell(proof.cards, 0),
                             number_cell(proof.lower_bound, 0), proven, text_cell(proof.why)}});
    }
    return out;
}

SheetTable move_table(const PlanIndex& index) {
    SheetTable out{"move-list",
                   "Channels that move against the plan that was kept",
                   {{"Channel"}, {"Name"}, {"Copy", "", true}, {"From"}, {"To"}, {"Why"}},
                   {}};
    const auto& cards = index.venue().cards;
    for (const auto& move : index.plan().assignment.moves) {
        const Channel& channel = index.venue().channels[move.channel];
        Cell to = move.to ? link_cell(cards[*move.to].name, index.row_id(cards[*move.to].name))
                          : text_cell("no home");
        if (!move.to) to.fit = Fit::out;
        out.rows.push_back(
            {"",
             {channel_cell(channel.number, "t-ch-" + std::to_string(move.channel)),
              text_cell(channel.name), number_cell(move.copy, 0), text_cell(move.from), to,
              text_cell(move.why)}});
    }
    return out;
}

SheetTable carrier_table(const PlanIndex& index) {
    SheetTable out{"carrier-list",
                   "Carriers",
                   {{"Carrier"},
                    {"Lane"},
                    {"Frequency", "MHz", true},
                    {"Downlink", "MHz", true},
                    {"System"},
                    {"Modulation"},
                    {"Code rate"},
                    {"Symbol rate", "Msym/s", true},
                    {"Transport rate", "Mbit/s", true},
                    {"transport_stream_id", "", true},
                    {"Channels", "", true}},
                   {}};
    std::vector<std::size_t> channels(index.venue().carriers.size(), 0);
    for (const auto& home : index.plan().assignment.homes)
        if (home.carrier && *home.carrier < channels.size()) ++channels[*home.carrier];
    for (std::size_t c = 0; c < index.venue().carriers.size(); ++c) {
        const Carrier& carrier = index.venue().carriers[c];
        out.rows.push_back(
            {"",
             {text_cell(carrier.name),
              link_cell(to_text(LaneRef{carrier.feed, carrier.lane}),
                        index.picture_id(carrier.feed)),
              number_cell(megahertz(carrier.frequency), 2),
              carrier.downlink ? number_cell(megahertz(*carrier.downlink), 2) : Cell{},
              text_cell(carrier.system), text_cell(carrier.modulation),
              text_cell(carrier.code_rate),
              carrier.symbol_rate
                  ? number_cell(
                        static_cast<double>(carrier.symbol_rate->symbols_per_second()) / 1e6, 3)
                  : Cell{},
              carrier.transport_rate ? number_cell(megabits(*carrier.transport_rate), 3) : Cell{},
              number_cell(carrier.transport_stream_id, 0), count_cell(channels[c])}});
    }
    return out;
}

}  // namespace mastline
