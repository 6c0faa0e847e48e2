// SPDX-License-Identifier: Apache-2.0
// Which carriages can flow over a link at once when displays reach it along different trees. Sets
// of carriages that displays can call for are the independent sets of a transversal matroid, so
// taking the heaviest that still fits, one after another, finds the heaviest set.
#include <algorithm>
#include <deque>
#include <map>

#include "planner/network/routed_trees.hpp"

namespace mastline {

namespace {

class Calls {
public:
    // `use.displays` by tree; each display calls for one carriage. Zapping lets further ones flow on
    // whatever tree.
    Calls(const Site& site, const RoutedUse& use) : use_(use), taken_(use.trees.size()) {
        std::int64_t all = 0;
        for (const auto& list : use.displays)
            for (const auto s : list)
                if (free_.emplace(s, site.own[s].displays).second) all += site.own[s].displays;
        flowing_on_ = site.rules.choices(all) - all;
    }

    // One more carriage of the tree at `position`, if displays can be dealt so.
    bool add(std::size_t position) {
        if (shift_to_free(position)) return true;
        if (flowing_on_ == 0 || use_.displays[position].empty()) return false;
        --flowing_on_;
        return true;
    }

private:
    struct Step {
        std::size_t from;      // tree position that was reached from...
        SwitchIndex display;   // ...by taking over a display here
    };

    // Breadth first over trees: a display in use may be taken over if its tree finds another.
    bool shift_to_free(std::size_t start) {
        std::map<std::size_t, Step> reached{{start, {start, kNone}}};
        std::deque<std::size_t> queue{start};
        while (!queue.empty()) {
            const auto tree = queue.front();
            queue.pop_front();
            for (const auto d : use_.displays[tree]) {
                if (free_.at(d) > 0) {
                    --free_.at(d);
                    take_along(reached, tree, d);
                    return true;
                }
                for (std::size_t other = 0; other < taken_.size(); ++other) {
                    const auto held = taken_[other].find(d);
                    if (held == taken_[other].end() || held->second == 0) continue;
                    if (reached.emplace(other, Step{tree, d}).second) queue.push_back(other);
                }
            }
        }
        return false;
    }

    void take_along(const std::map<std::size_t, Step>& reached, std::size_t tree, SwitchIndex free) {
        ++taken_[tree][free];
        for (auto at = tree; reached.at(at).display != kNone; at = reached.at(at).from) {
            const auto& step = reached.at(at);
            --taken_[at][step.display];
            ++taken_[step.from][step.display];
        }
    }

    const RoutedUse& use_;
    std::map<SwitchIndex, std::int64_t> free_;
    std::vector<std::map<SwitchIndex, std::int64_t>> taken_;  // by position
    std::int64_t flowing_on_ = 0;
};

}  // namespace

std::vector<CarriageIndex> routed_worst_mix(const Site& site, const RoutedTrees& routed,
                                            const RoutedUse& use) {
    std::map<SwitchIndex, std::size_t> position;
    for (std::size_t i = 0; i < use.trees.size(); ++i) position[routed.sources[use.trees[i]]] = i;
    std::vector<CarriageIndex> heaviest;
    for (CarriageIndex c = 0; c < site.carriages.size(); ++c)
        if (site.carriages[c].enters && position.contains(*site.carriages[c].enters))
            heaviest.push_back(c);
    std::stable_sort(heaviest.begin(), heaviest.end(), [&](CarriageIndex a, CarriageIndex b) {
        return site.carriages[a].tagged > site.carriages[b].tagged;
    });
    Calls calls(site, use);
    std::vector<CarriageIndex> out;
    for (const auto c : heaviest) {
        const auto at = position.at(*site.carriages[c].enters);
        const auto& joins = use.always[at].entries();
        const bool joined = std::any_of(joins.begin(), joins.end(),
                                        [c](const auto& e) { return e.carriage == c; });
        if (joined || calls.add(at)) out.push_back(c);
    }
    return out;
}

}  // namespace mastline
