// SPDX-License-Identifier: Apache-2.0
#include "planner/network/card_failures.hpp"

#include <algorithm>
#include <set>
#include <unordered_map>

#include "planner/network/component.hpp"
#include "planner/network/port_loads.hpp"

namespace mastline {

namespace {

class CardFailures {
public:
    CardFailures(const Site& site, const Tree& tree, NetworkLoad& out)
        : site_(site), tree_(tree), out_(out), below_(site.venue.switches.size()) {
        const Component whole = component_of(site, tree.order);
        const Sides sides(site, whole, tree.uplink);
        for (std::size_t i = 0; i < tree.order.size(); ++i) below_[tree.order[i]] = sides.below(i);
        total_ = sides.total();
        for (const auto& m : site.venue.card_models) kinds_.emplace(m.name, m.kind);
        for (SwitchIndex s = 0; s < site.venue.switches.size(); ++s)
            index_.emplace(site.venue.switches[s].name, s);
    }

    void run() {
        const auto& cards = site_.venue.cards;
        for (std::size_t c = 0; c < cards.size(); ++c) reckon("card " + cards[c].name, {c});
        for (const auto& chassis : site_.venue.chassis) {
            std::set<std::size_t> inside;
            for (std::size_t c = 0; c < cards.size(); ++c)
                if (cards[c].chassis == chassis.name) inside.insert(c);
            if (inside.size() > 1) reckon("chassis " + chassis.name, inside);
        }
    }

private:
    // Where cards of the same kind stand ready, other than those that failed.
    std::set<SwitchIndex> substitutes(const std::set<std::size_t>& failed, CardKind kind) const {
        std::set<SwitchIndex> out;
        for (std::size_t c = 0; c < site_.venue.cards.size(); ++c) {
            const auto& card = site_.venue.cards[c];
            const auto at = index_.find(card.attached_to);
            if (!failed.contains(c) && at != index_.end() && kind_of(c) == kind) out.insert(at->second);
        }
        return out;
    }

    CardKind kind_of(std::size_t card) const {
        const auto at = kinds_.find(site_.venue.cards[card].model);
        return at == kinds_.end() ? CardKind::tuner : at->second;
    }

    void reckon(const std::string& failure, const std::set<std::size_t>& failed) {
        if (site_.venue.protection.mode != ProtectionMode::reserve) return;
        SourceMask gone(site_.heaviest.source_count());
        for (const auto card : failed)
            for (const auto c : site_.of_card[card]) gone.set(site_.heaviest.source_of(c));
        for (const auto kind : {CardKind::tuner, CardKind::encoder}) {
            SourceMask moved(site_.heaviest.source_count());
            std::set<SwitchIndex> from;
            for (const auto card : failed) {
                if (kind_of(card) != kind) continue;
                for (const auto c : site_.of_card[card]) {
                    if (!site_.carriages[c].is_protected) continue;
                    moved.set(site_.heaviest.source_of(c));
                    from.insert(*site_.carriages[c].enters);
                }
            }
            if (from.empty()) continue;
            for (const auto to : substitutes(failed, kind))
                for (const auto old : from)
                    if (to != old) reckon_move(failure, old, to, gone, moved);
        }
    }

    // Streams that now come from `to` fill the directions from there towards `from` more than
    // before; everywhere else they come from the same side.
    void reckon_move(const std::string& failure, SwitchIndex from, SwitchIndex to,
                     const SourceMask& gone, const SourceMask& moved) {
        const std::string what = failure + " (taken over at " + site_.venue.switches[to].name + ")";
        for (auto s = to; !tree_.below(from, s); s = tree_.uplink[s].parent)
            raise(what, s, true, gone, moved);
        for (auto s = from; !tree_.below(to, s); s = tree_.uplink[s].parent)
            raise(what, s, false, gone, moved);
    }

    void raise(const std::string& failure, SwitchIndex s, bool upwards, const SourceMask& gone,
               const SourceMask& moved) {
        const auto& up = tree_.uplink[s];
        Reach rest = total_;
        rest.remove(below_[s]);
        SourceMask behind = upwards ? below_[s].sources : rest.sources;
        behind.remove(gone);
        behind.add(moved);
        const auto rate = site_.rules.worst_mix(behind, upwards ? rest : below_[s], site_.tagged(up.link));
        auto& load = out_.links[slot_of(site_, up.link, upwards ? s : up.parent)];
        if (rate <= load.worst_failure) return;
        load.worst_failure = rate;
        load.failure = failure;
    }

    const Site& site_;
    const Tree& tree_;
    NetworkLoad& out_;
    std::vector<Reach> below_;  // by switch
    Reach total_;
    std::unordered_map<std::string, CardKind> kinds_;
    std::unordered_map<std::string, SwitchIndex> index_;
};

}  // namespace

void add_card_failures(const Site& site, const Tree& tree, NetworkLoad& out) {
    CardFailures(site, tree, out).run();
}

}  // namespace mastline
