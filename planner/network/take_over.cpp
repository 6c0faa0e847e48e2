// SPDX-License-Identifier: Apache-2.0
#include "planner/network/take_over.hpp"

#include <unordered_map>
#include <vector>

namespace mastline {

namespace {

class TakeOvers {
public:
    TakeOvers(const Site& site, const std::function<void(const TakeOver&)>& reckon)
        : site_(site), reckon_(reckon) {
        for (const auto& m : site.venue.card_models) kinds_.emplace(m.name, m.kind);
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
    CardKind kind_of(std::size_t card) const {
        const auto at = kinds_.find(site_.venue.cards[card].model);
        return at == kinds_.end() ? CardKind::tuner : at->second;
    }

    // Where cards of the same kind stand ready, other than those that failed.
    std::set<SwitchIndex> substitutes(const std::set<std::size_t>& failed, CardKind kind) const {
        std::set<SwitchIndex> out;
        for (std::size_t c = 0; c < site_.venue.cards.size(); ++c)
            if (!failed.contains(c) && site_.card_at[c] != kNone && kind_of(c) == kind)
                out.insert(site_.card_at[c]);
        return out;
    }

    bool keeps_reserve() const { return site_.venue.protection.mode == ProtectionMode::reserve; }

    // Where the cards are that wait to send what the failed ones sent. Where they are at several switches,
    // each is reckoned as if it sent all: more than any link gets.
    std::set<SwitchIndex> standbys(const std::set<std::size_t>& failed, CardKind kind) const {
        std::set<SwitchIndex> out;
        for (const auto card : failed)
            for (const auto c : site_.of_card[card])
                if (const auto waiting = site_.carriages[c].standby;
                    waiting && kind_of(card) == kind && !failed.contains(*waiting) && site_.card_at[*waiting] != kNone)
                    out.insert(site_.card_at[*waiting]);
        return out;
    }

    void fail(const std::string& failure, const std::set<std::size_t>& failed) {
        SourceMask gone(site_.heaviest.source_count());
        for (const auto card : failed)
            for (const auto c : site_.of_card[card]) gone.set(site_.heaviest.source_of(c));
        for (const auto kind : {CardKind::tuner, CardKind::encoder}) {
            TakeOver out{failure, gone, SourceMask(site_.heaviest.source_count()), {}, kNone};
            for (const auto card : failed)
                for (const auto c : site_.of_card[card]) {
                    if (kind_of(card) != kind || !site_.carriages[c].is_protected) continue;
                    out.moved.set(site_.heaviest.source_of(c));
                    out.from.insert(*site_.carriages[c].enters);
                }
            if (out.from.empty()) continue;
            for (const auto to : keeps_reserve() ? substitutes(failed, kind) : standbys(failed, kind)) move(out, to);
        }
    }

    void move(TakeOver out, SwitchIndex to) {
        out.to = to;
        out.from.erase(to);
        if (out.from.empty()) return;
        out.failure += " (taken over at " + site_.switches[to]->name + ")";
        reckon_(out);
    }

    const Site& site_;
    const std::function<void(const TakeOver&)>& reckon_;
    std::unordered_map<std::string, CardKind> kinds_;
};

}  // namespace

void for_each_take_over(const Site& site, const std::function<void(const TakeOver&)>& reckon) {
    if (moves_on_loss(site.venue.protection)) TakeOvers(site, reckon).run();
}

}  // namespace mastline
