// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_card_failures.hpp"

#include <map>
#include <set>

#include "planner/network/routed_callers.hpp"
#include "planner/network/routed_failures.hpp"
#include "planner/network/routed_ways.hpp"
#include "planner/network/take_over.hpp"

namespace mastline {

namespace {

class RoutedCardFailures {
public:
    RoutedCardFailures(const Site& site, const RoutedTrees& routed, FailureRecord& record)
        : site_(site), routed_(routed), record_(record), mix_(site), ways_(routed) {}

    void run() {
        for_each_take_over(site_, [this](const TakeOver& t) {
            record_.begin(t.failure);
            reckon(t);
        });
    }

private:
    void reckon(const TakeOver& t) {
        auto brings = routed_.brings;
        for (auto& sources : brings) sources.remove(t.gone);
        for (const auto& m : t.moves) brings[ways_.tree_of(m.to)].add(m.sources);
        std::vector<std::shared_ptr<const Heaviest::Ladder>> ladders;
        for (const auto& sources : brings) ladders.push_back(site_.heaviest.ladder(sources));
        std::vector<Direction> fuller;
        const auto joined = add_joins(t, fuller);
        for (const auto& m : t.moves) {
            const auto& more = ways_.reached_otherwise(ways_.tree_of(m.from), ways_.tree_of(m.to));
            fuller.insert(fuller.end(), more.begin(), more.end());
        }
        const auto callers_now = [&](const Direction& d) {
            auto callers = callers_along(routed_, d);
            for (auto& c : callers) {
                c.sources = &brings[c.tree], c.ladder = ladders[c.tree].get();
                if (const auto at = joined.find({c.tree, d.to}); at != joined.end()) c.always = &at->second;
            }
            return callers;
        };
        for (const auto& d : fuller) raise_routed_mix(record_, site_, mix_, d, callers_now(d), crowds(d));
        flood_ports(t, fuller, brings, callers_now);
    }

    const Crowds& crowds(const Direction& d) const { return routed_.along[site_.topology.slot(d.link, d.from)]; }

    template <class CallersNow>
    void flood_ports(const TakeOver& t, const std::vector<Direction>& fuller, const std::vector<SourceMask>& brings,
                     const CallersNow& callers_now) {
        std::set<SwitchIndex> at;
        for (const auto& d : fuller) at.insert(d.to);
        for (const auto& m : t.moves) at.insert(m.to);
        FloodedAt flooded;
        for (const auto s : at) {
            if (!floods_to_displays(site_, s)) continue;
            flooded[s] = entering_of(site_, routed_, s, brings);
            for (const auto& n : site_.topology.neighbours(s)) {
                const Direction d{n.link, n.node, s};
                const auto callers = callers_now(d);
                if (!callers.empty()) flooded[s] += rate_of(mix_, callers, crowds(d));
            }
        }
        record_.flood_ports(flooded);
    }

    // By tree and switch below which they are: all joins there, second copies among them.
    using Joined = std::map<std::pair<std::size_t, SwitchIndex>, JoinCounts>;
    Joined add_joins(const TakeOver& t, std::vector<Direction>& fuller) const {
        Joined out;
        for (const auto& join : t.joins) {
            const auto tree = ways_.tree_of(*site_.carriages[join.carriage].enters);
            const auto& uplink = routed_.trees[tree].uplink;
            for (auto at = join.at; uplink[at].parent != kNone; at = uplink[at].parent) {
                out.try_emplace({tree, at}, routed_.below[tree][at].always).first->second.join(join.carriage);
                fuller.push_back({uplink[at].link, uplink[at].parent, at});
            }
        }
        return out;
    }

    const Site& site_;
    const RoutedTrees& routed_;
    FailureRecord& record_;
    RoutedMix mix_;
    RoutedWays ways_;
};

}  // namespace

void add_routed_card_failures(const Site& site, const RoutedTrees& routed, FailureRecord& record) {
    RoutedCardFailures(site, routed, record).run();
}

}  // namespace mastline
