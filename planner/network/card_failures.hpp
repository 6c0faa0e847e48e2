// SPDX-License-Identifier: Apache-2.0
// A card or chassis fails: its protected channels are taken over by other cards, or are carried a
// second time already.
#pragma once

#include "planner/network/failure_record.hpp"
#include "planner/network/tree.hpp"

namespace mastline {

// Raises worst_failure where a take-over at another switch makes a link carry more. Channels that
// are not protected just end, which makes no link fuller.
void add_card_failures(const Site& site, const Tree& tree, FailureRecord& record);

}  // namespace mastline
