// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/proof_text.hpp"

#include <algorithm>

namespace mastline {

namespace {

using packing::Reason;

std::string source_name(const Venue& venue, const LineupModel& lineup, std::size_t item_class) {
    if (const auto carrier = lineup.carrier[item_class]) return "carrier " + venue.carriers[*carrier].name;
    return "input " + venue.inputs[*lineup.input[item_class]].name;
}

// " for carrier w1 and carrier w2", where it is not about all of them.
std::string concerned(const Venue& venue, const LineupModel& lineup, const packing::Ruling& ruling) {
    if (ruling.classes.empty()) return "";
    std::vector<std::string> names;
    for (const auto c : ruling.classes) names.push_back(source_name(venue, lineup, c));
    return " for " + list_of(names);
}

// Some of these cards have more tuners than user bands to hear by.
bool user_bands_bind(const Venue& venue, const LineupModel& lineup, const std::vector<std::size_t>& cards) {
    return std::any_of(cards.begin(), cards.end(), [&](std::size_t card) {
        const auto* model = model_of(venue, venue.cards[card]);
        return model != nullptr && model->kind == CardKind::tuner && lineup.model.bins[card].tuners < model->tuners;
    });
}

// "tuner cards", "encoder cards", or "cards" where a chassis, say, binds both to each other.
std::string cards_word(const Venue& venue, const std::vector<std::size_t>& cards) {
    const auto is_encoder = [&](std::size_t card) {
        const auto* model = model_of(venue, venue.cards[card]);
        return model != nullptr && model->kind == CardKind::encoder;
    };
    if (std::none_of(cards.begin(), cards.end(), is_encoder)) return "tuner cards ";
    return std::all_of(cards.begin(), cards.end(), is_encoder) ? "encoder cards " : "cards ";
}

// Cheaper choices of the same kind of cards are those with fewer cards.
bool cost_is_count(const Venue& venue, const packing::Part& part) {
    return std::all_of(part.bins.begin(), part.bins.end(), [&](std::size_t b) {
        return venue.cards[b].state == venue.cards[part.bins.front()].state;
    });
}

std::string searched_text(const packing::Part& part) {
    const auto counted_out = part.choices_ruled_out - part.searched;
    return counted(part.choices_ruled_out, "choice") + " of cards ruled out, " + std::to_string(counted_out) +
           " by count and " + std::to_string(part.searched) + " by exhaustive search";
}

std::string fewer(const Venue& venue, const packing::Part& part) {
    if (!cost_is_count(venue, part)) return "no cheaper choice is enough: ";
    const auto n = part.used.size() - 1;
    return std::to_string(n) + (n == 1 ? " is not enough: " : " are not enough: ");
}

// A plan of n cards costs no more than n times the dearest of them.
int bound_in_cards(const LineupModel& lineup, const packing::Part& part) {
    const int used = static_cast<int>(part.used.size());
    if (part.proven || !part.complete) return used;
    std::int64_t dearest = 1;
    for (const auto b : part.bins) dearest = std::max(dearest, lineup.model.bins[b].cost);
    return std::clamp(static_cast<int>((part.lower_bound + dearest - 1) / dearest), 1, used);
}

std::string undecided(const LineupModel& lineup, const packing::Part& part) {
    const int least = bound_in_cards(lineup, part);
    if (least == static_cast<int>(part.used.size()))
        return "the best found in the time allowed; fewer cannot do, whether a cheaper choice would is not decided (" +
               searched_text(part) + ")";
    return "the best found in the time allowed; at least " + std::to_string(least) + (least == 1 ? " is" : " are") +
           " needed, what lies between is not decided (" + searched_text(part) + ")";
}

std::string why(const Venue& venue, const LineupModel& lineup, const packing::Part& part) {
    if (part.used.empty()) return "no card is needed";
    if (!part.complete) return "all of them are in use and not everything fits";
    if (!part.proven) return undecided(lineup, part);
    if (part.used.size() == 1 && part.ruling.reason == Reason::none && !part.by_program) return "no fewer can do";
    if (part.by_program)
        return fewer(venue, part) + "an integer program of all that was left has no solution (before it " + searched_text(part) + ")";
    if (part.searched > 0) return fewer(venue, part) + searched_text(part);
    return fewer(venue, part) + ruling_text(venue, lineup, part.ruling);
}

}  // namespace

std::string counted(std::int64_t n, const std::string& noun) {
    return std::to_string(n) + " " + noun + (n == 1 ? "" : "s");
}

std::string list_of(const std::vector<std::string>& words) {
    constexpr std::size_t most = 8;
    std::string out;
    const std::size_t shown = words.size() > most ? most - 1 : words.size();
    for (std::size_t i = 0; i < shown; ++i)
        out += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + words[i];
    if (shown < words.size()) out += " and " + std::to_string(words.size() - shown) + " more";
    return out;
}

std::string card_list(const Venue& venue, const std::vector<std::size_t>& cards) {
    std::vector<std::string> names;
    for (const auto c : cards) names.push_back(venue.cards[c].name);
    return list_of(names);
}

std::string channel_list(const Venue& venue, const std::vector<std::size_t>& channels) {
    std::vector<std::string> numbers;
    for (const auto c : channels) numbers.push_back(to_text(venue.channels[c].number));
    return list_of(numbers);
}

std::string ruling_text(const Venue& venue, const LineupModel& lineup, const packing::Ruling& ruling) {
    const std::string whose = concerned(venue, lineup, ruling);
    const std::string of = std::to_string(ruling.available) + " available";
    switch (ruling.reason) {
        case Reason::licences: return counted(ruling.needed, "licence") + " needed" + whose + ", " + of;
        case Reason::tuners:
            return counted(ruling.needed, "tuner") + " needed" + whose + ", " +
                   (user_bands_bind(venue, lineup, ruling.bins) ? "the user bands serve " + std::to_string(ruling.available) : of);
        case Reason::fill:
            return counted(ruling.needed, "licence") + " needed" + whose + ", the tuners let " +
                   std::to_string(ruling.available) + " be used";
        case Reason::splits:
            return "full cards split carriers, which takes " + counted(ruling.needed, "tuner") + ", " + of;
        case Reason::rate:
            return to_text(BitRate(ruling.needed)) + " of output needed" + whose + ", " +
                   to_text(BitRate(ruling.available)) + " available";
        case Reason::slots: return counted(ruling.needed, "slot") + " needed, " + std::to_string(ruling.available) + " free";
        case Reason::reserve_licences:
            return "after a loss " + counted(ruling.needed, "licence") + " needed" + whose + ", " + std::to_string(ruling.available) + " left";
        case Reason::reserve_tuners:
            return "after a loss " + counted(ruling.needed, "tuner") + " needed" + whose + ", " + std::to_string(ruling.available) + " left";
        case Reason::reserve_share:
            return "room after any loss would need " + counted(ruling.needed, "channel") +
                   " without protection, there are " + std::to_string(ruling.available);
        case Reason::reserve_rate:
            return "room after any loss would need " + to_text(BitRate(ruling.needed)) + " of output without protection, there are " +
                   to_text(BitRate(ruling.available));
        case Reason::search: return "exhaustive search found no way to pack them";
        case Reason::open: return "not decided within the time allowed";
        case Reason::none: break;
    }
    return "no fewer can do";
}

CardProof proof_of(const Venue& venue, const LineupModel& lineup, const packing::Part& part) {
    CardProof out;
    out.cards = static_cast<int>(part.used.size());
    out.lower_bound = bound_in_cards(lineup, part);
    out.proven = part.proven && part.complete;
    out.what = cards_word(venue, part.used) + card_list(venue, part.used);
    out.why = why(venue, lineup, part);
    return out;
}

}  // namespace mastline
