// SPDX-License-Identifier: Apache-2.0
// Dijkstra's algorithm with the tie rules of IEEE 802.1D, over any part of a topology.
#pragma once

#include <algorithm>
#include <queue>
#include <tuple>
#include <vector>

#include "planner/network/tree.hpp"

namespace mastline {

// A way of reaching `node` over `via.link` from `via.node`, compared as 802.1D compares offers.
struct Offer {
    std::int64_t distance;
    std::uint32_t parent_rank, link_rank;
    SwitchIndex node;
    Neighbour via;
    friend bool operator>(const Offer& a, const Offer& b) {
        return std::tie(a.distance, a.parent_rank, a.link_rank) >
               std::tie(b.distance, b.parent_rank, b.link_rank);
    }
};

class OfferQueue {
public:
    explicit OfferQueue(const Topology& topology) : topology_(topology) {}
    // `from` at `distance` offers itself over `link` to `node`.
    void offer(SwitchIndex from, std::int64_t distance, SwitchIndex node, LinkIndex link,
               std::int64_t cost) {
        queue_.push({distance + cost, topology_.rank[from], topology_.link_rank[link], node,
                     {from, link}});
    }
    // Takes the offers in order, best first; `settle(offer)` says whether the node was still free
    // and then offers onwards itself.
    template <class Settle>
    void run(Settle settle) {
        while (!queue_.empty()) {
            const Offer best = queue_.top();
            queue_.pop();
            settle(best);
        }
    }

private:
    const Topology& topology_;
    std::priority_queue<Offer, std::vector<Offer>, std::greater<>> queue_;
};

}  // namespace mastline
