// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_card_failures.hpp"

#include <algorithm>
#include <map>

#include "planner/network/routed_callers.hpp"
#include "planner/network/routed_failures.hpp"
#include "planner/network/take_over.hpp"

namespace mastline {

namespace {

class RoutedCardFailures {
public:
    RoutedCardFailures(const Site& site, const RoutedTrees& routed, FailureRecord& record)
        : site_(site), routed_(routed), record_(record), mix_(site) {}

    void run() {
        for_each_take_over(site_, [this](const TakeOver& t) {
            record_.begin(t.failure);
            reckon(t);
        });
    }

private:
    std::size_t tree_of(SwitchIndex source) const {
        const auto at = std::lower_bound(routed_.sources.begin(), routed_.sources.end(), source);
        return static_cast<std::size_t>(at - routed_.sources.begin());
    }

    void reckon(const TakeOver& t) {
        const auto to = tree_of(t.to);
        auto brings = routed_.brings;
        for (auto& sources : brings) sources.remove(t.gone);
        brings[to].add(t.moved);
        std::vector<std::shared_ptr<const Heaviest::Ladder>> ladders;
        for (const auto& sources : brings) ladders.push_back(site_.heaviest.ladder(sources));
        std::vector<Direction> fuller;
        for (const auto from : t.from) {
            const auto& more = reached_otherwise(tree_of(from), to);
            fuller.insert(fuller.end(), more.begin(), more.end());
        }
        for (const auto& d : fuller) {
            auto callers = callers_along(routed_, d);
            for (auto& c : callers) c.sources = &brings[c.tree], c.ladder = ladders[c.tree].get();
            raise_routed_mix(record_, site_, mix_, d, callers, routed_.along[site_.topology.slot(d.link, d.from)]);
        }
    }

    // Directions over which the tree `to` reaches other displays or joins than the tree `from`.
    const std::vector<Direction>& reached_otherwise(std::size_t from, std::size_t to) {
        const auto [at, is_new] = otherwise_.try_emplace({from, to});
        if (!is_new) return at->second;
        for (const auto s : routed_.trees[to].order) {
            const auto& up = routed_.trees[to].uplink[s];
            const auto& other = routed_.trees[from].uplink[s];
            const auto& below = routed_.below[to][s];
            if (up.parent == kNone || below.empty()) continue;
            if (up.link != other.link || up.parent != other.parent || below != routed_.below[from][s])
                at->second.push_back({up.link, up.parent, s});
        }
        return at->second;
    }

    const Site& site_;
    const RoutedTrees& routed_;
    FailureRecord& record_;
    RoutedMix mix_;
    std::map<std::pair<std::size_t, std::size_t>, std::vector<Direction>> otherwise_;
};

}  // namespace

void add_routed_card_failures(const Site& site, const RoutedTrees& routed, FailureRecord& record) {
    RoutedCardFailures(site, routed, record).run();
}

}  // namespace mastline
