// SPDX-License-Identifier: Apache-2.0
// [[card_model]]: one kind of card, as its data sheet says.
#include "mastline/text/table_reader.hpp"
#include "mastline/venue/venue.hpp"
#include "planner/venue/lineup_tables.hpp"
#include "planner/venue/read_rate.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 18> kCardModelKeys{{
    {"name", "text", true, "Key by which cards refer to it; unique."},
    {"kind", "one of: tuner, encoder", true, "Whether it receives carriers or encodes in-house inputs."},
    {"licences", "whole number", true, "Channels that a card is licensed for unless the card says otherwise."},
    {"site_licences", "whole number", false, "Channels that all cards of this model together are licensed for."},
    {"tuners", "whole number", false, "Carriers it can receive at once, shared by its inputs; tuner cards need it."},
    {"inputs", "whole number", false, "RF inputs (in1, in2, ...) or encoder inputs; default 1."},
    {"licence_inputs", "list of whole numbers", false,
     "Inputs that must be connected for the full licence; each that is not takes an equal share away."},
    {"systems", "list of text", false, "What a tuner receives: dvb-s2, dvb-t, ...; default: all."},
    {"connectors", "list of text", false, "Plugs that each encoder input takes; encoder cards need it."},
    {"formats", "list of text", false, "Picture formats that an encoder takes; default: all."},
    {"window_low", "level", false, "Least level per carrier at an RF input."},
    {"window_high", "level", false, "Greatest level per carrier at an RF input."},
    {"slope_limit", "gain", false, "Greatest difference between carriers at one RF input."},
    {"noise_figure", "gain", false, "Noise figure of the RF inputs."},
    {"output_limit", "bit rate", false, "Greatest rate of all channels it sends."},
    {"output_layer", "one of: transport, wire", false,
     "What output_limit counts: transport packets, or frames on the wire; default transport."},
    {"weight", "whole number", false, "Price or weight of one, for the cheapest choice; default 1."},
    {"licence_weight", "whole number", false, "Price or weight of one more licence, beside that of cards; default: not known."},
}};
constexpr TableDoc kModelTable{"[[card_model]]", "One kind of card, as its data sheet says.", kCardModelKeys};

constexpr std::array<std::pair<std::string_view, CardKind>, 2> kKinds{
    {{"tuner", CardKind::tuner}, {"encoder", CardKind::encoder}}};
constexpr std::array<std::pair<std::string_view, RateLayer>, 2> kLayers{
    {{"transport", RateLayer::transport}, {"wire", RateLayer::wire}}};

std::vector<std::string> card_words(TableReader& reader, std::string_view key) {
    std::vector<std::string> out;
    for (auto& [word, place] : reader.texts(key)) out.push_back(std::move(word));
    return out;
}

int card_count(TableReader& reader, std::string_view key, int least, int otherwise) {
    return static_cast<int>(reader.integer(key, least, 10'000).value_or(otherwise));
}

void read_radio(TableReader& reader, CardModel& out) {
    out.systems = card_words(reader, "systems");
    out.window_low = reader.quantity<Level>("window_low");
    out.window_high = reader.quantity<Level>("window_high");
    out.slope_limit = reader.quantity_at_least<Gain>("slope_limit", Gain::db(0));
    out.noise_figure = reader.quantity_at_least<Gain>("noise_figure", Gain::db(0));
    if (out.window_low && out.window_high && *out.window_low > *out.window_high)
        reader.fault("lineup.empty-window", reader.place_of("window_low"),
                     "the window " + to_text(*out.window_low) + " to " + to_text(*out.window_high) +
                         " is empty",
                     "window_low is the smaller level");
}

void read_inputs(TableReader& reader, CardModel& out) {
    out.inputs = card_count(reader, "inputs", 1, 1);
    for (const auto n : reader.integers("licence_inputs", 1, out.inputs))
        out.licence_inputs.push_back(static_cast<int>(n));
    out.tuners = card_count(reader, "tuners", 1, 0);
    out.connectors = card_words(reader, "connectors");
    out.formats = card_words(reader, "formats");
}

// Keys that one kind of card cannot do without.
void check_kind(TableReader& reader, const CardModel& model) {
    const auto need = [&](std::string_view key, std::string_view why) {
        if (!reader.has(key))
            reader.fault("file.missing-key", reader.place(),
                         "[[card_model]] '" + model.name + "' has no '" + std::string(key) + "'",
                         std::string(why));
    };
    if (!reader.has("kind")) return;
    if (model.kind == CardKind::tuner) need("tuners", "a tuner card needs the carriers it can receive at once");
    else need("connectors", "an encoder card needs the plugs its inputs take");
}

void read_card_model(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader reader(table, kModelTable, findings);
    CardModel out;
    out.place = reader.place();
    out.name = reader.text("name").value_or("");
    out.kind = reader.choice<CardKind>("kind", "kind of card", kKinds).value_or(CardKind::tuner);
    out.licences = card_count(reader, "licences", 0, 0);
    if (reader.has("site_licences")) out.site_licences = card_count(reader, "site_licences", 0, 0);
    read_inputs(reader, out);
    read_radio(reader, out);
    out.output_limit = read_rate(reader, "output_limit");
    out.output_layer =
        reader.choice<RateLayer>("output_layer", "rate layer", kLayers).value_or(RateLayer::transport);
    out.weight = card_count(reader, "weight", 0, 1);
    if (reader.has("licence_weight")) out.licence_weight = card_count(reader, "licence_weight", 0, 0);
    check_kind(reader, out);
    venue.card_models.push_back(std::move(out));
}

}  // namespace

VenueSection card_model_section() { return {"card_model", true, {&kModelTable}, read_card_model}; }

}  // namespace mastline
