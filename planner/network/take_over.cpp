// SPDX-License-Identifier: Apache-2.0
#include "planner/network/take_over.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <string_view>
#include <unordered_map>

namespace mastline {

namespace {

class TakeOvers {
public:
    TakeOvers(const Site& site, const std::function<void(const TakeOver&)>& reckon)
        : site_(site), reckon_(reckon) {
        std::unordered_map<std::string_view, CardKind> kinds;
        for (const auto& m : site.venue.card_models) kinds.emplace(m.name, m.kind);
        for (std::size_t c = 0; c < site.venue.cards.size(); ++c) {
            const auto at = kinds.find(site.venue.cards[c].model);
            kinds_.push_back(at == kinds.end() ? CardKind::tuner : at->second);
            if (site.card_at[c] != kNone) ++ready_[kinds_[c]][site.card_at[c]];
        }
    }

    void run() {
        const auto& cards = site_.venue.cards;
        std::unordered_map<std::string, std::set<std::size_t>> inside;
        for (std::size_t c = 0; c < cards.size(); ++c) {
            fail("card " + cards[c].name, {c});
            if (!cards[c].chassis.empty()) inside[cards[c].chassis].insert(c);
        }
        for (const auto& chassis : site_.venue.chassis)
            if (const auto at = inside.find(chassis.name); at != inside.end() && at->second.size() > 1)
                fail("chassis " + chassis.name, at->second);
    }

private:
    // Where cards of the kind stand ready, other than those that failed; kNone alone: nowhere, or nothing moves.
    std::set<SwitchIndex> substitutes(const std::set<std::size_t>& failed, CardKind kind) const {
        if (!any_protected(failed, kind)) return {kNone};
        auto ready = ready_.contains(kind) ? ready_.at(kind) : std::map<SwitchIndex, int>();
        for (const auto card : failed)
            if (kinds_[card] == kind && site_.card_at[card] != kNone) --ready[site_.card_at[card]];
        std::set<SwitchIndex> out;
        for (const auto& [at, cards] : ready)
            if (cards > 0) out.insert(at);
        if (out.empty()) out.insert(kNone);
        return out;
    }

    bool any_protected(const std::set<std::size_t>& failed, CardKind kind) const {
        return std::any_of(failed.begin(), failed.end(), [&](std::size_t card) {
            const auto& sent = site_.of_card[card];
            return kinds_[card] == kind && std::any_of(sent.begin(), sent.end(), [&](CarriageIndex c) {
                       return site_.carriages[c].is_protected;
                   });
        });
    }

    void fail(const std::string& failure, const std::set<std::size_t>& failed) {
        SourceMask gone(site_.heaviest.source_count());
        for (const auto card : failed)
            for (const auto c : site_.of_card[card]) gone.set(site_.heaviest.source_of(c));
        const TakeOver none{failure, gone, {}, seconds(failed)};
        if (site_.venue.protection.mode != ProtectionMode::reserve) return move_to_standbys(none, failed);
        for (const auto tuner_at : substitutes(failed, CardKind::tuner))
            for (const auto encoder_at : substitutes(failed, CardKind::encoder)) {
                auto out = none;
                for (const auto card : failed) move(out, card, kinds_[card] == CardKind::tuner ? tuner_at : encoder_at);
                reckon(std::move(out));
            }
    }

    void move(TakeOver& out, std::size_t card, SwitchIndex to) const {
        if (to == kNone) return;
        for (const auto c : site_.of_card[card])
            if (site_.carriages[c].is_protected) add_move(out, c, to);
    }

    // Each stream comes from where a card waits for it.
    void move_to_standbys(TakeOver out, const std::set<std::size_t>& failed) {
        for (const auto card : failed)
            for (const auto c : site_.of_card[card]) {
                const auto to = site_.places[site_.heaviest.source_of(c)].waits;
                if (to != kNone && !failed.contains(*site_.carriages[c].standby)) add_move(out, c, to);
            }
        reckon(std::move(out));
    }

    std::vector<StandIns::Join> seconds(const std::set<std::size_t>& failed) const {
        std::vector<StandIns::Join> out;
        for (const auto& copies : site_.seconds) {
            if (!failed.contains(site_.carriages[copies.first].card) || failed.contains(site_.carriages[copies.second].card)) continue;
            for (const auto s : copies.joined_at) out.push_back({copies.second, s});
        }
        return out;
    }

    void add_move(TakeOver& out, CarriageIndex c, SwitchIndex to) const {
        const auto from = *site_.carriages[c].enters;
        auto at = std::find_if(out.moves.begin(), out.moves.end(),
                               [&](const TakeOver::Move& m) { return m.from == from && m.to == to; });
        if (at == out.moves.end()) at = out.moves.insert(at, {from, to, SourceMask(site_.heaviest.source_count())});
        at->sources.set(site_.heaviest.source_of(c));
    }

    void reckon(TakeOver out) const {
        std::set<SwitchIndex> places;
        for (const auto& m : out.moves)
            if (m.from != m.to) places.insert(m.to);
        if (places.empty() && out.joins.empty()) return;
        std::string names;
        for (const auto s : places) names += (names.empty() ? "" : ", ") + site_.switches[s]->name;
        if (!names.empty()) out.failure += " (taken over at " + names + ")";
        reckon_(out);
    }

    const Site& site_;
    const std::function<void(const TakeOver&)>& reckon_;
    std::vector<CardKind> kinds_;                              // by card
    std::map<CardKind, std::map<SwitchIndex, int>> ready_;      // how many cards are plugged in where
};

}  // namespace

void for_each_take_over(const Site& site, const std::function<void(const TakeOver&)>& reckon) {
    TakeOvers(site, reckon).run();
}

}  // namespace mastline
