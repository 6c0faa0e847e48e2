// SPDX-License-Identifier: Apache-2.0
// Which streams move to another switch when a card or chassis fails and another card of its kind
// takes the protected ones over. Where they are carried twice, both copies flow all the time.
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

// Calls `reckon` for every failure and every switch at which a card stands ready for it.
void for_each_take_over(const Site& site, const std::function<void(const TakeOver&)>& reckon);

}  // namespace mastline
