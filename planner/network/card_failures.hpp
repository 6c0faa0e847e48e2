// SPDX-License-Identifier: Apache-2.0
// A card or chassis fails: its protected channels are taken over by other cards, or are carried a
// second time already.
#pragma once

#include "mastline/network/network_load.hpp"
#include "planner/network/site.hpp"
#include "planner/network/tree.hpp"

namespace mastline {

// Raises worst_failure where a take-over at another switch makes a link carry more. Channels that
// are not protected just end, which makes no link fuller. REQUIRES: worst_failure is filled.
void add_card_failures(const Site& site, const Tree& tree, NetworkLoad& out);

}  // namespace mastline
