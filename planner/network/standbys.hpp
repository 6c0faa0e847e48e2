// SPDX-License-Identifier: Apache-2.0
// Cards that wait in the group of another and send once they hear it no more: when that one, its switch or the
// way between them is lost.
#pragma once

#include <vector>

#include "planner/network/component.hpp"
#include "planner/network/reconverge.hpp"

namespace mastline {

class Standbys {
public:
    // `site` must outlive it.
    explicit Standbys(const Site& site);

    // Who sends besides, in each part that a loss leaves.
    TakenOver after(const NetworkLoss& loss, const AfterLoss& after);

private:
    const Site& site_;
    bool any_ = false;
    std::vector<std::vector<std::uint32_t>> ends_;  // by switch: sources that enter there or wait there
    std::vector<std::uint32_t> part_;               // by switch; 0: the one with the root
};

}  // namespace mastline
