// SPDX-License-Identifier: Apache-2.0
// What a failure changes along the tree, while those that query stay: only the paths from where something
// left and to where something came are reckoned again, and where switches flood what may come over these.
#pragma once

#include <vector>

#include "planner/network/component.hpp"
#include "planner/network/failure_record.hpp"
#include "planner/network/hangers.hpp"

namespace mastline {

class ChangedPaths {
public:
    // All must outlive it. `uplink`: by switch, in the failure at hand.
    ChangedPaths(const Site& site, const Tree& tree, const Component& whole, const Hangers& hangers,
                 const std::vector<Uplink>& uplink, FailureRecord& record);

    // All sources of the whole.
    const SourceMask& sources() const { return total_.sources; }

    // Forgets the failure before.
    void begin();
    // All that was below `top` has left the place where it hung.
    void take_off(SwitchIndex top);
    // These, which hung below `top`, hang where their uplinks say; parents first, with what hangs on them.
    void put(const std::vector<SwitchIndex>& moved, SwitchIndex top);
    // Sources no longer enter at `s`, or do so from now on.
    void leave(SwitchIndex s, const SourceMask& sources);
    void enter(SwitchIndex s, const SourceMask& sources);
    // It is joined at `s` all the time from now on.
    void join(SwitchIndex s, CarriageIndex carriage);
    // Raises the record where more may flow than before.
    void raise();

private:
    void note_full(const Sides& sides);
    Reach& now_below(SwitchIndex s);
    const Reach& below_now(SwitchIndex s) const { return stamp_[s] == now_ ? work_[s] : base_[s]; }
    SourceMask behind_now(const Direction& d) const;
    void raise_link_above(SwitchIndex s);
    bool may_rise(SwitchIndex s, bool down) const;
    void open_out_of(SwitchIndex s, SwitchIndex but);
    bool came_down_before(const Direction& d) const;
    void pass_on(const Direction& d);
    void raise_around(SwitchIndex s);
    std::vector<SwitchIndex> flooding_part(SwitchIndex s);
    bool is_child(const Neighbour& n, SwitchIndex parent) const {
        return uplink_[n.node].parent == parent && uplink_[n.node].link == n.link;
    }
    std::size_t slot(const Direction& d) const { return site_.topology.slot(d.link, d.from); }

    const Site& site_;
    const Tree& tree_;
    const Component& whole_;
    const Hangers& hangers_;
    const std::vector<Uplink>& uplink_;
    FailureRecord& record_;
    std::vector<Reach> base_;  // by switch: what lies below it, nothing failed
    Reach total_;
    std::vector<Reach> work_;
    Reach rest_;  // kept for its memory
    std::vector<std::uint32_t> stamp_;
    std::vector<SwitchIndex> touched_, entered_;
    std::uint32_t now_ = 0;
    std::vector<char> floods_;  // by switch
    bool all_flood_ = false;
    std::vector<std::uint32_t> flooded_;  // by switch: the failure in which it was last reckoned with
    std::vector<SourceMask> full_;  // by slot: all behind it where all that flows; else none
    std::vector<char> ports_may_rise_;  // by switch: it floods, yet not all comes to its displays
    std::vector<std::uint32_t> seen_;  // by slot: the failure in which it was last followed
    std::vector<Direction> open_;  // kept for its memory
};

}  // namespace mastline
