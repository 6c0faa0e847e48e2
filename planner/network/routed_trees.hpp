// SPDX-License-Identifier: Apache-2.0
// The way of streams that routers carry (PIM): from each entry switch along its tree of shortest
// paths; equal paths go by the lowest identifier, as the spanning tree's do.
#pragma once

#include <memory>
#include <vector>

#include "planner/network/component.hpp"
#include "planner/network/flooding.hpp"
#include "planner/network/hangers.hpp"

namespace mastline {

// What lies below a switch of one tree. `where` is a sum of marks of the switches with displays:
// two trees with the same sum have the same displays there.
struct TreeBelow {
    std::int64_t displays = 0;
    std::uint64_t where = 0;
    JoinCounts always;

    void add(const TreeBelow& other) {
        displays += other.displays;
        where += other.where;
        always.add(other.always);
    }
    void remove(const TreeBelow& other) {
        displays -= other.displays;
        where -= other.where;
        always.remove(other.always);
    }
    bool empty() const { return displays == 0 && always.empty(); }
    friend bool operator==(const TreeBelow&, const TreeBelow&) = default;
};

using TreeSet = SourceMask;  // indices into RoutedTrees::trees

// Displays beyond one place, told apart by the trees that reach them through it.
class Crowds {
public:
    // REQUIRES: all sets are of the same number of trees
    void add(const TreeSet& trees, std::int64_t displays);
    std::size_t size() const { return displays_.size(); }
    std::int64_t displays(std::size_t i) const { return displays_[i]; }
    std::int64_t all_displays() const { return all_; }
    bool has(std::size_t i, std::size_t tree) const {
        return (words_[i * (words_.size() / displays_.size()) + tree / 64] >> (tree % 64) & 1) != 0;
    }

private:
    std::vector<std::uint64_t> words_;  // of each crowd's trees, one after the other
    std::vector<std::int64_t> displays_;
    std::int64_t all_ = 0;
};

struct RoutedTrees {
    std::vector<SwitchIndex> sources;  // switches at which streams enter, or may after a take-over
    std::vector<Tree> trees;           // one each, as those that follow
    std::vector<SourceMask> brings;    // what enters there
    std::vector<std::shared_ptr<const Heaviest::Ladder>> ladders;  // of that
    std::vector<std::vector<TreeBelow>> below;  // and by switch
    std::shared_ptr<const Hangers> hangers;     // in all of them alike
    std::vector<TreeBelow> alone;  // by switch: it and what hangs on it
    std::vector<Crowds> along;    // by slot in the list of loads: beyond this direction of the link
    std::vector<Crowds> through;  // by switch: at it and beyond
};

RoutedTrees routed_trees(const Site& site);

// It brings all that comes to it to its displays.
bool floods_to_displays(const Site& site, SwitchIndex s);
// All that enters at a switch, where the trees bring `brings`.
FloodRate entering_of(const Site& site, const RoutedTrees& routed, SwitchIndex s, const std::vector<SourceMask>& brings);

}  // namespace mastline
