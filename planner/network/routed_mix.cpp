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
    Calls(const Site& site, const RoutedUse& use) : use_(use), taken_(use.trees.size()), next_free_(use.trees.size(), 0),
          full_(use.trees.size(), false) {
        std::int64_t all = 0;
        for (const auto& list : use.displays)
            for (const auto s : list)
                if (free_.emplace(s, site.own[s].displays).second) all += site.own[s].displays;
        flowing_on_ = site.rules.choices(all) - all;
    }

    // One more carriage of the tree at `position`, if displays can be dealt so.
    bool add(std::size_t position) {
        if (take_free(position)) return true;
        // Displays only become busier: what once could not be shifted never can.
        if (!full_[position] && shift_to_free(position)) return true;
        full_[position] = true;
        if (flowing_on_ == 0 || use_.displays[position].empty()) return false;
        --flowing_on_;
        return true;
    }

private:
    struct Step {
        std::size_t from;      // tree position that was reached from...
        SwitchIndex display;   // ...by taking over a display here
    };

    // A display that calls for nothing yet; those before `next_free_` are busy for good.
    bool take_free(std::size_t position) {
        const auto& list = use_.displays[position];
        auto& at = next_free_[position];
        while (at < list.size() && free_.at(list[at]) == 0) ++at;
        if (at == list.size()) return false;
        --free_.at(list[at]);
        ++taken_[position][list[at]];
        return true;
    }

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
    std::vector<std::size_t> next_free_;                      // by position, into its displays
    std::vector<bool> full_;                                  // by position
    std::int64_t flowing_on_ = 0;
};

}  // namespace

std::vector<CarriageIndex> routed_worst_mix(const Site& site, const RoutedTrees& routed,
                                            const RoutedUse& use) {
    std::map<SwitchIndex, std::size_t> position;
    for (std::size_t i = 0; i < use.trees.size(); ++i) position[routed.sources[use.trees[i]]] = i;
    Calls calls(site, use);
    std::vector<CarriageIndex> out;
    for (const auto c : site.heaviest.by_rate()) {
        const auto place = position.find(*site.carriages[c].enters);
        if (place == position.end()) continue;
        const auto at = place->second;
        const auto& joins = use.always[at].entries();
        const bool joined = std::any_of(joins.begin(), joins.end(),
                                        [c](const auto& e) { return e.carriage == c; });
        if (joined || calls.add(at)) out.push_back(c);
    }
    return out;
}

}  // namespace mastline
