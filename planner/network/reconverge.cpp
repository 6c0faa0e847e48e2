// SPDX-License-Identifier: Apache-2.0
#include "planner/network/reconverge.hpp"

#include "planner/network/shortest_path.hpp"

namespace mastline {

Reconvergence::Reconvergence(const Topology& topology, const Tree& tree, const Hangers& hangers)
    : topology_(topology), tree_(tree), hangers_(hangers), uplink_(tree.uplink),
      hung_on_(topology.cost.size(), kNone), stamp_(topology.size(), 0) {
    std::vector<SwitchIndex> by_number(tree.order.size());
    for (const auto s : tree.order) {
        by_number[tree.enter[s]] = s;
        if (tree.uplink[s].link != kNone) hung_on_[tree.uplink[s].link] = s;
    }
    for (const auto s : by_number) {
        kept_before_.push_back(static_cast<std::uint32_t>(kept_.size()));
        if (!hangers.hangs(s)) kept_.push_back(s);
    }
    kept_before_.push_back(static_cast<std::uint32_t>(kept_.size()));
}

AfterLoss Reconvergence::after(const NetworkLoss& loss) {
    restore();
    ++now_;
    AfterLoss out;
    out.top = loss.node != kNone ? loss.node : hung_on_[loss.link];
    if (out.top == kNone) return out;
    out.old_parent = tree_.uplink[out.top].parent;
    const auto end = kept_before_[tree_.leave[out.top]];
    for (auto i = kept_before_[tree_.enter[out.top]]; i < end; ++i) take_in(kept_[i]);
    if (region_.empty()) take_in(out.top);  // it hangs
    find_ways(loss, out);
    if (out.moved.size() < region_.size()) form_islands(loss, out);
    return out;
}

void Reconvergence::restore() {
    for (const auto s : region_) uplink_[s] = tree_.uplink[s];
    region_.clear();
}

void Reconvergence::take_in(SwitchIndex s) {
    region_.push_back(s);
    uplink_[s] = {};
    stamp_[s] = now_;
}

void Reconvergence::form_islands(const NetworkLoss& loss, AfterLoss& out) {
    std::vector<SwitchIndex> by_rank;
    for (std::size_t i = 0, count = region_.size(); i < count; ++i) {
        const auto s = region_[i];
        if (uplink_[s].distance != kUnreached) continue;
        if (s != loss.node) by_rank.push_back(s);
        for (const auto h : hangers_.on(s)) {
            take_in(h);
            by_rank.push_back(h);
        }
    }
    std::sort(by_rank.begin(), by_rank.end(), [this](SwitchIndex a, SwitchIndex b) {
        return topology_.rank[a] < topology_.rank[b];
    });
    for (const auto s : by_rank)
        if (uplink_[s].distance == kUnreached) form_island(s, loss, out);
}

// Offers come in from outside the region, then spread inside it.
void Reconvergence::find_ways(const NetworkLoss& loss, AfterLoss& out) {
    OfferQueue queue(topology_);
    for (const auto s : region_) {
        if (s == loss.node) continue;
        for (const auto& n : hangers_.others(s))
            if (!in_region(n.node) && cost(n.link, loss) != kUnreached)
                queue.offer(n.node, uplink_[n.node].distance, s, n.link, cost(n.link, loss));
    }
    queue.run([&](const Offer& o) {
        if (uplink_[o.node].distance != kUnreached) return;
        uplink_[o.node] = {o.distance, o.via.node, o.via.link};
        out.moved.push_back(o.node);
        for (const auto& n : hangers_.others(o.node))
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
