// SPDX-License-Identifier: Apache-2.0
#include "planner/network/card_failures.hpp"

#include "planner/network/take_over.hpp"

namespace mastline {

namespace {

class CardFailures {
public:
    CardFailures(const Site& site, const Tree& tree, FailureRecord& record)
        : site_(site), tree_(tree), record_(record), below_(site.venue.switches.size()) {
        const Component whole = component_of(site, tree.order);
        const Sides sides(site, whole, tree.uplink);
        for (std::size_t i = 0; i < tree.order.size(); ++i) below_[tree.order[i]] = sides.below(i);
        total_ = sides.total();
    }

    void run() {
        for_each_take_over(site_, [this](const TakeOver& t) {
            record_.begin(t.failure);
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
    std::vector<Reach> below_;  // by switch
    Reach total_;
};

}  // namespace

void add_card_failures(const Site& site, const Tree& tree, FailureRecord& record) {
    CardFailures(site, tree, record).run();
}

}  // namespace mastline
