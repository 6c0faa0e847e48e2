// SPDX-License-Identifier: Apache-2.0
#include "mastline/assignment/assign.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "planner/assignment/lineup_model.hpp"
#include "planner/assignment/proof_text.hpp"
#include "planner/assignment/shortfall.hpp"
#include "planner/assignment/tuner_inputs.hpp"

namespace mastline {

namespace {

class Assigning {
public:
    Assigning(const Venue& venue, const SignalPlan& signal, const std::vector<KeptHome>& kept, Findings& findings)
        : venue_(venue), signal_(signal), kept_(kept), findings_(findings), lineup_(lineup_model(venue, signal, kept)) {}

    Assignment run(const packing::Effort& effort) {
        check_pins();
        fresh_ = packing::solve(without_previous(lineup_.model), effort);
        solution_ = kept_.empty() ? fresh_ : packing::solve_keeping(lineup_.model, effort);
        add_homes();
        choose_tuner_inputs();
        number_encoder_inputs();
        for (std::size_t p = 0; p < solution_.parts.size(); ++p) {
            const auto& part = solution_.parts[p];
            if (part.complete) out_.proofs.push_back(proof(part, fresh_.parts[p]));
            else explain_shortfall(venue_, signal_, lineup_, solution_, part, findings_);
            out_.fewest_moves = out_.fewest_moves && part.fewest_moves;
        }
        add_cards();
        add_moves();
        if (!kept_.empty()) offer_cheaper();
        return std::move(out_);
    }

private:
    static packing::Model without_previous(packing::Model model) {
        for (auto& item : model.items) item.previous = {};
        return model;
    }

    // What is proven is about all plans, not only those that keep to the earlier one: so the words
    // are those of a plan made afresh, and an unchanged venue keeps its plan to the letter.
    CardProof proof(const packing::Part& part, const packing::Part& fresh) const {
        if (!fresh.complete) return proof_of(venue_, lineup_, part);
        packing::Part told = fresh;
        told.used = part.used;
        if (part.cost == fresh.cost) return proof_of(venue_, lineup_, told);
        auto out = proof_of(venue_, lineup_, fresh);
        const auto fewest = std::to_string(fresh.used.size());
        out.cards = static_cast<int>(part.used.size());
        out.what = proof_of(venue_, lineup_, told).what;
        out.why = "fewest moves come before fewest cards; afresh " + fewest +
                  (out.proven ? " would do, and of fewer: " : " would do: ") + out.why;
        out.proven = false;
        return out;
    }

    // A card that cannot carry what is pinned to it: the wish is reported and passed over.
    void check_pins() {
        for (std::size_t i = 0; i < lineup_.model.items.size(); ++i) {
            auto& item = lineup_.model.items[i];
            if (!item.pinned[0] || lineup_.model.allowed[item.item_class][*item.pinned[0]]) continue;
            const auto& channel = venue_.channels[lineup_.channel[i]];
            findings_.push_back({Severity::error, "assignment.card-cannot", "channel " + to_text(channel.number),
                                 "card " + *channel.card + " cannot carry it: its source does not reach the card",
                                 {}, "leave card out, or bring the source there", channel.card_place});
            item.pinned[0].reset();
        }
    }

    void add_homes() {
        std::vector<std::pair<std::size_t, int>> placed;
        for (std::size_t i = 0; i < solution_.homes.size(); ++i) {
            for (std::size_t copy = 0; copy < 2; ++copy)
                if (const auto card = solution_.homes[i][copy]) out_.homes.push_back(home(i, copy, *card));
            if (!solution_.homes[i][0]) out_.unplaced.push_back(lineup_.channel[i]);
        }
        out_.unplaced.insert(out_.unplaced.end(), lineup_.sourceless.begin(), lineup_.sourceless.end());
        std::sort(out_.unplaced.begin(), out_.unplaced.end());
    }

    ChannelHome home(std::size_t item, std::size_t copy, std::size_t card) const {
        ChannelHome out;
        out.channel = lineup_.channel[item];
        out.copy = static_cast<int>(copy) + 1;
        out.card = card;
        out.carrier = lineup_.carrier[lineup_.model.items[item].item_class];
        return out;
    }

    void choose_tuner_inputs() {
        std::map<std::size_t, std::set<std::size_t>> carriers_of;
        for (const auto& home : out_.homes)
            if (home.carrier) carriers_of[home.card].insert(*home.carrier);
        for (const auto& [card, carriers] : carriers_of) {
            const auto inputs = tuner_inputs(venue_, signal_, card, carriers);
            for (auto& home : out_.homes)
                if (const auto at = home.card == card && home.carrier ? inputs.find(*home.carrier) : inputs.end(); at != inputs.end())
                    home.input = at->second;
            for (const auto carrier : carriers)
                if (!inputs.contains(carrier)) report_without_band(card, carrier);
        }
    }

    // Limits of single inputs are no part of the packing: a card that mixes single cables with others
    // can be given more than comes in.
    void report_without_band(std::size_t card, std::size_t carrier) {
        findings_.push_back({Severity::error, "assignment.no-user-band", "card " + venue_.cards[card].name,
                             "carrier " + venue_.carriers[carrier].name + " finds no free user band at an input that it reaches",
                             {}, "give the run to that input more user bands, or ask for other channels on the card",
                             venue_.cards[card].place});
    }

    // Sources keep the encoder input they had, if the card still has it; the others get the free ones in order of channel.
    void number_encoder_inputs() {
        std::map<std::size_t, std::map<std::string, int>> of_card;  // input by source
        for (const bool keep : {true, false})
            for (auto& home : out_.homes) {
                if (home.carrier) continue;
                auto& taken = of_card[home.card];
                const auto& source = venue_.channels[home.channel].input;
                if (taken.contains(source)) continue;
                const int wanted = keep ? kept_input(home).value_or(0) : first_free(taken);
                const auto* model = model_of(venue_, venue_.cards[home.card]);
                if (wanted > 0 && model != nullptr && wanted <= model->inputs && is_free(taken, wanted)) taken[source] = wanted;
            }
        for (auto& home : out_.homes) {
            if (home.carrier) continue;
            home.encoder_input = of_card[home.card][venue_.channels[home.channel].input];
            home.input = "in" + std::to_string(*home.encoder_input);
        }
    }

    static bool is_free(const std::map<std::string, int>& taken, int n) {
        return std::none_of(taken.begin(), taken.end(), [&](const auto& t) { return t.second == n; });
    }
    static int first_free(const std::map<std::string, int>& taken) {
        int n = 1;
        while (!is_free(taken, n)) ++n;
        return n;
    }

    std::optional<int> kept_input(const ChannelHome& home) const {
        const auto& channel = venue_.channels[home.channel];
        for (const auto& k : kept_)
            if (k.number == channel.number && k.copy == home.copy && k.source == channel.input &&
                k.card == venue_.cards[home.card].name)
                return k.encoder_input;
        return std::nullopt;
    }

    void add_cards() {
        std::vector<bool> busy(venue_.cards.size());
        for (const auto& home : out_.homes) busy[home.card] = true;
        for (const auto card : solution_.used()) {
            if (!busy[card]) out_.standby.push_back(card);
            if (venue_.cards[card].state == CardState::buy) out_.to_buy.push_back(card);
        }
    }

    void add_moves() {
        for (const auto& k : kept_) {
            for (std::size_t c = 0; c < venue_.channels.size(); ++c)
                if (venue_.channels[c].number == k.number) add_move(k, c);
        }
        std::sort(out_.moves.begin(), out_.moves.end(), [](const ChannelMove& a, const ChannelMove& b) {
            return std::pair(a.channel, a.copy) < std::pair(b.channel, b.copy);
        });
    }

    void add_move(const KeptHome& k, std::size_t channel) {
        const auto& now = venue_.channels[channel];
        if (k.source != (now.service.empty() ? now.input : now.service)) return;
        std::optional<std::size_t> to;
        for (const auto& home : out_.homes)
            if (home.channel == channel && home.copy == k.copy) to = home.card;
        if (to && venue_.cards[*to].name == k.card) return;
        out_.moves.push_back({channel, k.copy, k.card, to, reason_to_move(k, channel)});
    }

    std::string reason_to_move(const KeptHome& k, std::size_t channel) const {
        for (std::size_t b = 0; b < venue_.cards.size(); ++b) {
            if (venue_.cards[b].name != k.card) continue;
            if (venue_.channels[channel].card && *venue_.channels[channel].card != k.card)
                return "it is asked for on card " + *venue_.channels[channel].card;
            const auto at = std::find(lineup_.channel.begin(), lineup_.channel.end(), channel);
            const auto item = static_cast<std::size_t>(at - lineup_.channel.begin());
            if (at == lineup_.channel.end() || !lineup_.model.allowed[lineup_.model.items[item].item_class][b])
                return "its source no longer reaches card " + k.card;
            return "card " + k.card + " has no room for all that it carried, or its room is needed";
        }
        return "card " + k.card + " is gone";
    }

    void offer_cheaper() {
        if (!fresh_.complete() || !solution_.complete() || fresh_.cost() >= solution_.cost()) return;
        const auto [moves, fewest] = packing::moves_into(lineup_.model, fresh_);
        const auto now = solution_.used().size(), then = fresh_.used().size();
        findings_.push_back({Severity::note, "assignment.cheaper-with-moves", {},
                             "a plan with " + counted(static_cast<std::int64_t>(then), "card") + " instead of " +
                                 std::to_string(now) + " would move " + (fewest ? "" : "up to ") + counted(moves, "channel"),
                             {}, "build without --keep to see it", {}});
    }

    const Venue& venue_;
    const SignalPlan& signal_;
    const std::vector<KeptHome>& kept_;
    Findings& findings_;
    LineupModel lineup_;
    packing::Solution solution_, fresh_;  // the latter without regard to the earlier plan
    Assignment out_;
};

}  // namespace

Assignment assign(const Venue& venue, const SignalPlan& signal, const std::vector<KeptHome>& kept,
                  Findings& findings, const packing::Effort& effort) {
    return Assigning(venue, signal, kept, findings).run(effort);
}

Assignment assign(const Venue& venue, const SignalPlan& signal, Findings& findings,
                  const packing::Effort& effort) {
    return assign(venue, signal, {}, findings, effort);
}

}  // namespace mastline
