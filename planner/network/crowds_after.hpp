// SPDX-License-Identifier: Apache-2.0
// Displays beyond some directions of links after a failure, told apart by the trees that reach them:
// those before it, and what it changed. Switches whose ways changed alike are moved together.
#pragma once

#include <memory>
#include <vector>

#include "planner/network/failing_tree.hpp"

namespace mastline {

class CrowdsAfter {
public:
    // All must outlive it.
    CrowdsAfter(const Site& site, const RoutedTrees& routed, const std::vector<std::unique_ptr<FailingTree>>& trees);

    // By direction, good until the next call. `lost_tree`: the one whose root is lost, if any; nobody
    // asks for it. REQUIRES: the trees are settled; no direction leads to what hangs on one link, over
    // which all trees reach the same displays
    const std::vector<Crowds>& at(const std::vector<Direction>& directions, std::size_t lost_tree);

private:
    // The directions asked for on the way from a root to a switch: a list with shared beginnings.
    using WayId = std::uint32_t;  // into ways_; 0: none of them
    struct Way {
        std::uint32_t place = 0;  // in the directions asked for
        WayId rest = 0;
    };
    struct Mover {
        std::size_t hash;
        SwitchIndex s;
    };
    struct Step {
        std::uint32_t place;
        std::uint32_t tree;
        bool after;
    };

    std::size_t slot_of(const Direction& d) const { return site_.topology.slot(d.link, d.from); }
    std::size_t row(SwitchIndex s) const { return std::size_t{s} * 2 * trees_.size(); }
    WayId found(SwitchIndex s, std::size_t column) const { return found_[row(s) + column].id; }
    void find_movers(std::size_t lost_tree);
    WayId way(const std::vector<Uplink>& uplinks, SwitchIndex s, std::size_t column);
    std::size_t hash_of(SwitchIndex s) const;
    bool are_alike(SwitchIndex a, SwitchIndex b) const;
    bool moves(SwitchIndex s) const;
    void move(SwitchIndex s, std::int64_t displays);
    void add_steps(WayId way, std::uint32_t tree, bool after);

    const Site& site_;
    const RoutedTrees& routed_;
    const std::vector<std::unique_ptr<FailingTree>>& trees_;
    std::vector<std::uint32_t> place_;  // by slot, in the directions asked for
    std::vector<std::uint32_t> seen_;   // by switch: the failure that it was last a mover of
    std::uint32_t now_ = 0;
    std::vector<Way> ways_;
    struct Found {
        WayId id = 0;
        std::uint32_t at = 0;  // for which failure
        friend bool operator==(const Found& a, const Found& b) { return a.id == b.id; }
    };
    std::vector<Found> found_;  // by switch, then by tree: the ways before, then after
    std::vector<SwitchIndex> climb_;
    std::vector<Mover> movers_;
    std::vector<Step> steps_;
    std::vector<Crowds> out_;
};

}  // namespace mastline
