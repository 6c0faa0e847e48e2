// SPDX-License-Identifier: Apache-2.0
#include "planner/network/card_failures.hpp"

#include <algorithm>

#include "planner/network/take_over.hpp"

namespace mastline {

namespace {

class CardFailures {
public:
    CardFailures(const Site& site, const Tree& tree, FailureRecord& record)
        : site_(site), tree_(tree), record_(record), whole_(component_of(site, tree.order)),
          below_(site.venue.switches.size()) {
        const Sides sides(site, whole_, tree.uplink);
        for (std::size_t i = 0; i < tree.order.size(); ++i) below_[tree.order[i]] = sides.below(i);
        total_ = sides.total();
        floods_ = std::any_of(tree.order.begin(), tree.order.end(),
                              [this](SwitchIndex s) { return floods(*site_.switches[s], whole_.queried); });
    }

    void run() {
        for_each_take_over(site_, [this](const TakeOver& t) {
            record_.begin(t.failure);
            if (floods_) return reckon_flooded(t);
            for (const auto from : t.from) reckon_move(from, t);
        });
    }

private:
    // Streams that now come from `to` fill the directions from there towards `from` more than
    // before; everywhere else they come from the same side.
    void reckon_move(SwitchIndex from, const TakeOver& t) {
        for (auto s = t.to; !tree_.below(from, s); s = tree_.uplink[s].parent) raise(s, true, t);
        for (auto s = from; !tree_.below(t.to, s); s = tree_.uplink[s].parent) raise(s, false, t);
    }

    // What a choice held back on the way to a flooding switch may enter at that switch now, so any
    // direction may carry more.
    void reckon_flooded(const TakeOver& t) {
        std::vector<Reach> below;
        for (const auto s : tree_.order) {
            below.push_back(below_[s]);
            below.back().sources.remove(t.gone);
            if (tree_.below(t.to, s)) below.back().sources.add(t.moved);
        }
        const Reach total = below.front();
        const Sides sides(whole_, tree_.uplink, std::move(below), total);
        const FloodLoads flood(site_, whole_, tree_.uplink, sides);
        sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach&) {
            raise_flooded(record_, site_, d, behind, flood);
        });
        record_.flood_ports(flood.at());
    }

    void raise(SwitchIndex s, bool upwards, const TakeOver& t) {
        const auto& up = tree_.uplink[s];
        Reach rest = total_;
        rest.remove(below_[s]);
        SourceMask behind = upwards ? below_[s].sources : rest.sources;
        behind.remove(t.gone);
        behind.add(t.moved);
        const Direction d{up.link, upwards ? s : up.parent, upwards ? up.parent : s};
        raise_worst_mix(record_, site_, d, behind, upwards ? rest : below_[s]);
    }

    const Site& site_;
    const Tree& tree_;
    FailureRecord& record_;
    Component whole_;
    std::vector<Reach> below_;  // by switch
    Reach total_;
    bool floods_ = false;       // some switch does
};

}  // namespace

void add_card_failures(const Site& site, const Tree& tree, FailureRecord& record) {
    CardFailures(site, tree, record).run();
}

}  // namespace mastline
