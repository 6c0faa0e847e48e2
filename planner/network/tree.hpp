// SPDX-License-Identifier: Apache-2.0
// The tree along which streams go: every switch's best way to the root.
#pragma once

#include <cstdint>
#include <limits>
#include <vector>

#include "planner/network/topology.hpp"

namespace mastline {

inline constexpr std::int64_t kUnreached = std::numeric_limits<std::int64_t>::max();

// A switch's root port.
struct Uplink {
    std::int64_t distance = kUnreached;
    SwitchIndex parent = kNone;  // none at the root and where the root is out of reach
    LinkIndex link = kNone;
};

struct Tree {
    SwitchIndex root = kNone;
    std::vector<Uplink> uplink;       // by switch
    std::vector<SwitchIndex> order;   // those reached, parents before children
    std::vector<std::uint32_t> enter, leave;  // by switch: a subtree is a run of numbers

    bool below(SwitchIndex s, SwitchIndex top) const {
        return enter[top] <= enter[s] && leave[s] <= leave[top];
    }
};

// The switch with the lowest bridge identifier. REQUIRES: there is one
SwitchIndex lowest_bridge(const Topology& topology);

// IEEE 802.1D: least path cost to the root; then the lowest designated bridge; then the lowest
// port, for which the link's name stands. A lost link or switch is left out.
Tree grow_tree(const Topology& topology, SwitchIndex root, LinkIndex lost_link = kNone,
               SwitchIndex lost_switch = kNone);

}  // namespace mastline
