// SPDX-License-Identifier: Apache-2.0
// Which streams move to another switch when a card or chassis fails and other cards of its kind
// take the protected ones over, or those that wait for it. Where both copies of what is carried
// twice flow all the time, only joins move, to the second.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "planner/network/component.hpp"

namespace mastline {

struct TakeOver {
    struct Move {
        SwitchIndex from = kNone, to = kNone;
        SourceMask sources;
    };
    std::string failure;      // "card A1 (taken over at west)"
    SourceMask gone;          // all that failed
    std::vector<Move> moves;  // what of it comes from elsewhere now, or from another card of the same switch
    std::vector<StandIns::Join> joins;  // of second copies
};

// Whether streams come from another card after a loss.
inline bool moves_on_loss(const Protection& protection) {
    return protection.mode == ProtectionMode::reserve || protection.second == SecondCarriage::same_group;
}

// Calls `reckon` for every failure and every switch at which a card stands ready for it.
void for_each_take_over(const Site& site, const std::function<void(const TakeOver&)>& reckon);

}  // namespace mastline
