// SPDX-License-Identifier: Apache-2.0
#include "planner/network/tree.hpp"

#include "planner/network/shortest_path.hpp"

namespace mastline {

namespace {

// Numbers each subtree as a run, without recursion: chains may be long.
void number_subtrees(Tree& tree) {
    const auto count = tree.uplink.size();
    std::vector<std::uint32_t> size(count, 1), next(count, 0);
    for (auto at = tree.order.rbegin(); at != tree.order.rend(); ++at)
        if (const auto parent = tree.uplink[*at].parent; parent != kNone) size[parent] += size[*at];
    tree.enter.assign(count, 0);
    tree.leave.assign(count, 0);
    for (const auto s : tree.order) {
        const auto parent = tree.uplink[s].parent;
        if (parent != kNone) {
            tree.enter[s] = next[parent];
            next[parent] += size[s];
        }
        next[s] = tree.enter[s] + 1;
        tree.leave[s] = tree.enter[s] + size[s];
    }
}

}  // namespace

SwitchIndex lowest_bridge(const Topology& topology) {
    const auto at = std::min_element(topology.rank.begin(), topology.rank.end());
    return static_cast<SwitchIndex>(at - topology.rank.begin());
}

Tree grow_tree(const Topology& topology, SwitchIndex root, LinkIndex lost_link,
               SwitchIndex lost_switch) {
    Tree tree;
    tree.root = root;
    tree.uplink.resize(topology.size());
    OfferQueue queue(topology);
    const auto settle = [&](SwitchIndex s, const Uplink& uplink) {
        tree.uplink[s] = uplink;
        tree.order.push_back(s);
        for (const auto& n : topology.neighbours(s))
            if (tree.uplink[n.node].distance == kUnreached && n.link != lost_link &&
                n.node != lost_switch)
                queue.offer(s, uplink.distance, n.node, n.link, topology.cost[n.link]);
    };
    settle(root, {0, kNone, kNone});
    queue.run([&](const Offer& o) {
        if (tree.uplink[o.node].distance == kUnreached)
            settle(o.node, {o.distance, o.via.node, o.via.link});
    });
    number_subtrees(tree);
    return tree;
}

}  // namespace mastline
