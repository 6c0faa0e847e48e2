// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_trees.hpp"

#include <algorithm>
#include <set>

#include "planner/network/take_over.hpp"

namespace mastline {

namespace {

// 64 bits that look random (the finalizer of SplitMix64), so that sums differ where sets do.
std::uint64_t mark_of(SwitchIndex s) {
    std::uint64_t z = (std::uint64_t{s} + 1) * 0x9E3779B97F4A7C15ULL;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31);
}

// Where streams enter; where protected ones can be taken over, cards stand ready besides.
std::set<SwitchIndex> entries_of(const Site& site) {
    std::set<SwitchIndex> out;
    bool moves = false;
    for (const auto& c : site.carriages) {
        if (c.enters) out.insert(*c.enters);
        moves = moves || c.is_protected;
    }
    if (moves && moves_on_loss(site.venue.protection))
        for (const auto at : site.card_at)
            if (at != kNone) out.insert(at);
    return out;
}

// Of one switch without what lies below it.
TreeBelow below_alone(const Site& site, SwitchIndex s) {
    const auto& own = site.own[s];
    return {own.displays, own.displays > 0 ? mark_of(s) : 0, own.always};
}

std::vector<TreeBelow> below_of(const Site& site, const Tree& tree) {
    std::vector<TreeBelow> out(tree.uplink.size());
    for (auto at = tree.order.rbegin(); at != tree.order.rend(); ++at) {
        out[*at].add(below_alone(site, *at));
        if (const auto parent = tree.uplink[*at].parent; parent != kNone) out[parent].add(out[*at]);
    }
    return out;
}

// For each place on the ways to one switch, the trees whose way leads by it.
class WaysTo {
public:
    void clear() { steps_.clear(); }
    void add(std::size_t place, std::size_t tree) { steps_.emplace_back(place, tree); }
    void count(std::size_t tree_count, std::int64_t displays, std::vector<Crowds>& at) {
        std::sort(steps_.begin(), steps_.end());
        for (std::size_t i = 0; i < steps_.size();) {
            const auto place = steps_[i].first;
            TreeSet trees(tree_count);
            for (; i < steps_.size() && steps_[i].first == place; ++i) trees.set(steps_[i].second);
            at[place].add(trees, displays);
        }
    }

private:
    std::vector<std::pair<std::size_t, std::size_t>> steps_;
};

void add_crowds(const Site& site, RoutedTrees& out) {
    out.along.resize(2 * site.venue.links.size());
    out.through.resize(site.venue.switches.size());
    WaysTo links, switches;
    for (SwitchIndex s = 0; s < site.own.size(); ++s) {
        if (site.own[s].displays == 0) continue;
        links.clear();
        switches.clear();
        for (std::size_t t = 0; t < out.trees.size(); ++t) {
            const auto& uplink = out.trees[t].uplink;
            if (uplink[s].distance == kUnreached) continue;
            for (auto at = s; at != kNone; at = uplink[at].parent) {
                switches.add(at, t);
                if (uplink[at].parent != kNone)
                    links.add(site.topology.slot(uplink[at].link, uplink[at].parent), t);
            }
        }
        links.count(out.trees.size(), site.own[s].displays, out.along);
        switches.count(out.trees.size(), site.own[s].displays, out.through);
    }
}

}  // namespace

void Crowds::add(const TreeSet& trees, std::int64_t displays) {
    const auto& words = trees.words();
    all_ += displays;
    for (std::size_t i = 0; i < displays_.size(); ++i)
        if (std::equal(words.begin(), words.end(), words_.begin() + static_cast<std::ptrdiff_t>(i * words.size()))) {
            displays_[i] += displays;
            return;
        }
    words_.insert(words_.end(), words.begin(), words.end());
    displays_.push_back(displays);
}

RoutedTrees routed_trees(const Site& site) {
    RoutedTrees out;
    std::vector<char> roots(site.own.size(), false);
    for (const auto s : entries_of(site)) roots[s] = true;
    out.hangers = std::make_shared<Hangers>(site.topology, roots);
    for (SwitchIndex s = 0; s < site.own.size(); ++s) {
        out.alone.push_back(below_alone(site, s));
        for (const auto h : out.hangers->on(s)) out.alone.back().add(below_alone(site, h));
    }
    for (const auto s : entries_of(site)) {
        out.sources.push_back(s);
        out.trees.push_back(grow_tree(site.topology, s));
        out.brings.push_back(site.own[s].sources);
        out.ladders.push_back(site.heaviest.ladder(site.own[s].sources));
        out.below.push_back(below_of(site, out.trees.back()));
    }
    add_crowds(site, out);
    return out;
}

bool floods_to_displays(const Site& site, SwitchIndex s) {
    return site.own[s].displays > 0 && floods(*site.switches[s], true);
}

FloodRate entering_of(const Site& site, const RoutedTrees& routed, SwitchIndex s, const std::vector<SourceMask>& brings) {
    const auto at = std::lower_bound(routed.sources.begin(), routed.sources.end(), s);
    if (at == routed.sources.end() || *at != s) return {};
    const auto& sources = brings[static_cast<std::size_t>(at - routed.sources.begin())];
    return {site.heaviest.total(sources, false), site.heaviest.total(sources, true)};
}

}  // namespace mastline
