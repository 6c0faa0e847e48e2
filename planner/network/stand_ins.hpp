// SPDX-License-Identifier: Apache-2.0
// What comes in the place of streams that a loss along a spanning tree cuts off: cards that wait in the group of
// another send once they hear it no more, and what is joined all the time comes as its second copy.
#pragma once

#include <vector>

#include "planner/network/component.hpp"
#include "planner/network/reconverge.hpp"

namespace mastline {

class StandInsAfter {
public:
    // `site` must outlive it.
    explicit StandInsAfter(const Site& site);

    // In each part that a loss leaves.
    StandIns of(const NetworkLoss& loss, const AfterLoss& after);

private:
    void add_sending(SwitchIndex parted, StandIns& out) const;
    void add_joins(std::size_t second, StandIns& out) const;

    const Site& site_;
    bool any_ = false;
    // By switch: sources that enter there or wait there, and into Site::seconds those whose first copy enters
    // there or is joined there.
    std::vector<std::vector<std::size_t>> ends_, seconds_;
    std::vector<std::uint32_t> part_;  // by switch; 0: the one with the root
};

}  // namespace mastline
