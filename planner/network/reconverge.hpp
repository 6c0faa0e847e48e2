// SPDX-License-Identifier: Apache-2.0
// The spanning tree after one failure. Only switches that hung below the failed part look for a new
// way to the root: taking a link away never shortens anyone else's.
#pragma once

#include <cstdint>
#include <vector>

#include "planner/network/hangers.hpp"
#include "planner/network/tree.hpp"

namespace mastline {

// A lost link, a link that has become dearer, or a lost switch.
struct NetworkLoss {
    LinkIndex link = kNone;
    std::int64_t new_cost = kUnreached;  // of the link; unreached: it is gone
    SwitchIndex node = kNone;
};

struct AfterLoss {
    // With a new way to the root, parents first. What hangs on them is not named: it comes along.
    std::vector<SwitchIndex> moved;
    std::vector<std::vector<SwitchIndex>> islands;  // without; each parents first
    SwitchIndex top = kNone;         // top of the region that lost its way; kNone: nothing changed
    SwitchIndex old_parent = kNone;  // of the region; kNone: the root itself is lost
};

class Reconvergence {
public:
    // All must outlive it. REQUIRES: the root of the tree does not hang
    Reconvergence(const Topology& topology, const Tree& tree, const Hangers& hangers);

    // Until the next call, uplink() is that after `loss`; what hangs on a moved switch keeps its distance
    // of before, but where it lost its way.
    AfterLoss after(const NetworkLoss& loss);
    const std::vector<Uplink>& uplink() const { return uplink_; }
    // All as before any loss.
    void restore();
    // What lost its way, and found another or none; of what hangs only that without a way.
    const std::vector<SwitchIndex>& region() const { return region_; }

private:
    bool in_region(SwitchIndex s) const { return stamp_[s] == now_; }
    void take_in(SwitchIndex s);
    void form_islands(const NetworkLoss& loss, AfterLoss& out);
    void find_ways(const NetworkLoss& loss, AfterLoss& out);
    void form_island(SwitchIndex root, const NetworkLoss& loss, AfterLoss& out);
    std::int64_t cost(LinkIndex link, const NetworkLoss& loss) const {
        return link == loss.link ? loss.new_cost : topology_.cost[link];
    }

    const Topology& topology_;
    const Tree& tree_;
    const Hangers& hangers_;
    std::vector<Uplink> uplink_;
    std::vector<SwitchIndex> kept_;       // what does not hang, by tree.enter
    std::vector<std::uint32_t> kept_before_;  // by such a number: of these, how many come before
    std::vector<SwitchIndex> hung_on_;    // by link: the switch whose root port it is, or kNone
    std::vector<SwitchIndex> region_;     // of the latest loss
    std::vector<std::uint32_t> stamp_;    // by switch: the loss that it was last touched by
    std::uint32_t now_ = 0;
};

}  // namespace mastline
