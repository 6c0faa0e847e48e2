// SPDX-License-Identifier: Apache-2.0
// Groups that arrive though nobody planned them.
#pragma once

#include <vector>

#include "mastline/verdict/judge.hpp"

namespace mastline {

// "network.flood": groups that nobody asked for arrive. "network.mac-equal": some of them have the MAC
// address of a planned group (RFC 1112 section 6.4: the low 23 bits; RFC 2464 section 7: the low 32), so a
// switch that filters by MAC address sends both. Pure. The local network's own groups are passed over.
std::vector<Check> judge_unasked(const ExpectedLineup& lineup, const std::vector<FlowObservation>& unasked);

}  // namespace mastline
