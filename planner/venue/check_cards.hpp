// SPDX-License-Identifier: Apache-2.0
// Cross-references and rules of cards, their models and chassis; fills in what cards leave to them.
#pragma once

#include "mastline/findings/finding.hpp"
#include "mastline/venue/venue.hpp"
#include "planner/venue/name_check.hpp"

namespace mastline {

void check_cards(Venue& venue, const Names& cards, Findings& findings);

}  // namespace mastline
