// SPDX-License-Identifier: Apache-2.0
#include "planner/plan/planner_tables.hpp"

namespace mastline {

void write_findings(TomlText& out, const Findings& findings) {
    for (const auto& finding : findings) {
        out.item("planner.finding");
        out.text("severity", to_text(finding.severity));
        out.text("id", finding.id);
        out.text_if("subject", finding.subject);
        out.text("what", finding.what);
        out.text_if("amount", finding.amount);
        out.text_if("cure", finding.cure);
        out.text_if("place", to_text(finding.place));
    }
}

namespace {

void write_home(TomlText& out, const Venue& venue, const ChannelHome& home) {
    const auto& channel = venue.channels[home.channel];
    out.item("planner.home");
    out.text("channel", to_text(channel.number));
    out.integer("copy", home.copy);
    out.text("source", channel.service.empty() ? channel.input : channel.service);
    out.text("card", venue.cards[home.card].name);
    out.text_if("input", home.input);
    if (home.carrier) out.text("carrier", venue.carriers[*home.carrier].name);
    if (home.encoder_input) out.integer("encoder_input", *home.encoder_input);
}

void write_proof(TomlText& out, const CardProof& proof) {
    out.item("planner.proof");
    out.text_if("what", proof.what);
    out.integer("cards", proof.cards);
    out.integer("lower_bound", proof.lower_bound);
    out.boolean("proven", proof.proven);
    out.text_if("why", proof.why);
}

void write_move(TomlText& out, const Venue& venue, const ChannelMove& move) {
    out.item("planner.move");
    out.text("channel", to_text(venue.channels[move.channel].number));
    out.integer("copy", move.copy);
    out.text("from", move.from);
    if (move.to) out.text("to", venue.cards[*move.to].name);
    out.text_if("why", move.why);
}

std::vector<std::string> card_names(const Venue& venue, const std::vector<std::size_t>& cards) {
    std::vector<std::string> out;
    for (const auto card : cards) out.push_back(venue.cards[card].name);
    return out;
}

}  // namespace

void write_assignment(TomlText& out, const Venue& venue, const Assignment& assignment) {
    for (const auto& home : assignment.homes) write_home(out, venue, home);
    for (const auto channel : assignment.unplaced) {
        out.item("planner.unplaced");
        out.text("channel", to_text(venue.channels[channel].number));
    }
    for (const auto& proof : assignment.proofs) write_proof(out, proof);
    for (const auto& move : assignment.moves) write_move(out, venue, move);
    out.table("planner.cards");
    out.texts("standby", card_names(venue, assignment.standby));
    out.texts("to_buy", card_names(venue, assignment.to_buy));
    out.boolean("fewest_moves", assignment.fewest_moves);
}

}  // namespace mastline
