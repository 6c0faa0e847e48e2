// SPDX-License-Identifier: Apache-2.0
// Switches that reach each other along one tree, and what lies on either side of each of its links.
#pragma once

#include <map>
#include <vector>

#include "planner/network/site.hpp"
#include "planner/network/tree.hpp"

namespace mastline {

struct Component {
    std::vector<SwitchIndex> order;  // parents before children; the root first
    SwitchIndex querier = kNone;     // the one elected
    bool queried = false;            // by it or by a multicast router
};

// One direction of a tree link.
struct Direction {
    LinkIndex link = kNone;
    SwitchIndex from = kNone, to = kNone;
};

// What comes in the place of lost streams.
struct StandIns {
    struct Join {
        CarriageIndex carriage = kNone;
        SwitchIndex at = kNone;
    };
    std::map<SwitchIndex, SourceMask> sending;  // sources whose streams come from a card there that waited
    std::vector<Join> joins;                    // of second copies, where the first no longer comes

    bool empty() const { return sending.empty() && joins.empty(); }
};

// What lies below each switch of a component, and in all of it.
class Sides {
public:
    // `uplink` is by switch and must outlive it.
    Sides(const Site& site, const Component& component, const std::vector<Uplink>& uplink, const StandIns& stand_ins = {});
    // `below`: by position, reckoned already; that of the first is not asked for. `component` may be a
    // part of all that `total` counts.
    Sides(const Component& component, const std::vector<Uplink>& uplink, std::vector<Reach> below, const Reach& total)
        : component_(component), uplink_(uplink), below_(std::move(below)), total_(total) {}

    const Reach& total() const { return total_; }
    const Reach& below(std::size_t position) const { return below_[position]; }

    // Calls f(direction, behind, ahead) for both directions of every link of the tree.
    template <class F>
    void for_each(F f) const {
        for (std::size_t i = 1; i < component_.order.size(); ++i) {
            const SwitchIndex s = component_.order[i];
            const Uplink& up = uplink_[s];
            Reach rest = total_;
            rest.remove(below_[i]);
            f(Direction{up.link, up.parent, s}, rest.sources, below_[i]);
            f(Direction{up.link, s, up.parent}, below_[i].sources, rest);
        }
    }

private:
    const Component& component_;
    const std::vector<Uplink>& uplink_;
    std::vector<Reach> below_;  // by position in the order
    Reach total_;
};

// Elects the querier of the switches in `order`: the lowest address among them.
Component component_of(const Site& site, std::vector<SwitchIndex> order);

}  // namespace mastline
