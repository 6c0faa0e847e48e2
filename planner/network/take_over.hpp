// SPDX-License-Identifier: Apache-2.0
// Which streams move to another switch when a card or chassis fails and another card of its kind
// takes the protected ones over, or the one that waits for it. Where both copies of what is carried
// twice flow all the time, nothing moves.
#pragma once

#include <functional>
#include <set>
#include <string>

#include "planner/network/site.hpp"

namespace mastline {

struct TakeOver {
    std::string failure;         // "card A1 (taken over at west)"
    SourceMask gone, moved;      // all that failed; what of it comes from `to` now
    std::set<SwitchIndex> from;  // where it came from, `to` apart
    SwitchIndex to = kNone;
};

// Whether streams come from another card after a loss.
inline bool moves_on_loss(const Protection& protection) {
    return protection.mode == ProtectionMode::reserve || protection.second == SecondCarriage::same_group;
}

// Calls `reckon` for every failure and every switch at which a card stands ready for it.
void for_each_take_over(const Site& site, const std::function<void(const TakeOver&)>& reckon);

}  // namespace mastline
