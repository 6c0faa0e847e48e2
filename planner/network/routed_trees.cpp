// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_trees.hpp"

#include <algorithm>
#include <set>

namespace mastline {

namespace {

struct Below {
    std::vector<SwitchIndex> displays;
    JoinCounts always;
};

std::vector<Below> below_of(const Site& site, const Tree& tree) {
    std::vector<Below> out(tree.uplink.size());
    for (auto at = tree.order.rbegin(); at != tree.order.rend(); ++at) {
        auto& here = out[*at];
        if (site.own[*at].displays > 0) here.displays.push_back(*at);
        here.always.add(site.own[*at].always);
        std::sort(here.displays.begin(), here.displays.end());
        const auto parent = tree.uplink[*at].parent;
        if (parent == kNone) continue;
        auto& up = out[parent];
        up.displays.insert(up.displays.end(), here.displays.begin(), here.displays.end());
        up.always.add(here.always);
    }
    return out;
}

}  // namespace

RoutedTrees routed_trees(const Site& site) {
    std::set<SwitchIndex> sources;
    for (const auto& c : site.carriages)
        if (c.enters) sources.insert(*c.enters);
    RoutedTrees out;
    for (const auto s : sources) {
        out.sources.push_back(s);
        out.trees.push_back(grow_tree(site.topology, s));
    }
    return out;
}

RoutedUses routed_uses(const Site& site, const RoutedTrees& routed) {
    RoutedUses out;
    for (std::size_t t = 0; t < routed.trees.size(); ++t) {
        const auto& tree = routed.trees[t];
        auto below = below_of(site, tree);
        for (const auto s : tree.order) {
            const auto& up = tree.uplink[s];
            if (up.parent == kNone || (below[s].displays.empty() && below[s].always.empty())) continue;
            auto& use = out[{up.link, up.parent}];
            use.trees.push_back(t);
            use.displays.push_back(std::move(below[s].displays));
            use.always.push_back(std::move(below[s].always));
        }
    }
    return out;
}

}  // namespace mastline
