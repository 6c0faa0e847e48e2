// SPDX-License-Identifier: Apache-2.0
#include "planner/network/reconverge.hpp"

#include "planner/network/shortest_path.hpp"

namespace mastline {

Reconvergence::Reconvergence(const Topology& topology, const Tree& tree)
    : topology_(topology), tree_(tree), uplink_(tree.uplink), by_number_(tree.order.size()),
      hung_on_(topology.cost.size(), kNone), stamp_(topology.size(), 0) {
    for (const auto s : tree.order) {
        by_number_[tree.enter[s]] = s;
        if (tree.uplink[s].link != kNone) hung_on_[tree.uplink[s].link] = s;
    }
}

AfterLoss Reconvergence::after(const NetworkLoss& loss) {
    for (const auto s : region_) uplink_[s] = tree_.uplink[s];
    region_.clear();
    ++now_;
    AfterLoss out;
    out.top = loss.node != kNone ? loss.node : hung_on_[loss.link];
    if (out.top == kNone) return out;
    out.old_parent = tree_.uplink[out.top].parent;
    for (auto i = tree_.enter[out.top]; i < tree_.leave[out.top]; ++i) {
        region_.push_back(by_number_[i]);
        uplink_[by_number_[i]] = {};
        stamp_[by_number_[i]] = now_;
    }
    find_ways(loss, out);
    std::vector<SwitchIndex> by_rank;
    for (const auto s : region_)
        if (s != loss.node && uplink_[s].distance == kUnreached) by_rank.push_back(s);
    std::sort(by_rank.begin(), by_rank.end(), [this](SwitchIndex a, SwitchIndex b) {
        return topology_.rank[a] < topology_.rank[b];
    });
    for (const auto s : by_rank)
        if (uplink_[s].distance == kUnreached) form_island(s, loss, out);
    return out;
}

// Offers come in from outside the region, then spread inside it.
void Reconvergence::find_ways(const NetworkLoss& loss, AfterLoss& out) {
    OfferQueue queue(topology_);
    for (const auto s : region_) {
        if (s == loss.node) continue;
        for (const auto& n : topology_.neighbours(s))
            if (!in_region(n.node) && cost(n.link, loss) != kUnreached)
                queue.offer(n.node, uplink_[n.node].distance, s, n.link, cost(n.link, loss));
    }
    queue.run([&](const Offer& o) {
        if (uplink_[o.node].distance != kUnreached) return;
        uplink_[o.node] = {o.distance, o.via.node, o.via.link};
        out.moved.push_back(o.node);
        for (const auto& n : topology_.neighbours(o.node))
            if (in_region(n.node) && n.node != loss.node && cost(n.link, loss) != kUnreached &&
                uplink_[n.node].distance == kUnreached)
                queue.offer(o.node, o.distance, n.node, n.link, cost(n.link, loss));
    });
}

void Reconvergence::form_island(SwitchIndex root, const NetworkLoss& loss, AfterLoss& out) {
    OfferQueue queue(topology_);
    auto& island = out.islands.emplace_back();
    const auto settle = [&](SwitchIndex s, const Uplink& uplink) {
        uplink_[s] = uplink;
        island.push_back(s);
        for (const auto& n : topology_.neighbours(s))
            if (in_region(n.node) && n.node != loss.node && cost(n.link, loss) != kUnreached &&
                uplink_[n.node].distance == kUnreached)
                queue.offer(s, uplink.distance, n.node, n.link, cost(n.link, loss));
    };
    settle(root, {0, kNone, kNone});
    queue.run([&](const Offer& o) {
        if (uplink_[o.node].distance == kUnreached) settle(o.node, {o.distance, o.via.node, o.via.link});
    });
}

}  // namespace mastline
