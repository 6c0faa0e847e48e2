// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "planner/addressing/group_rules.hpp"

namespace mastline {

// REQUIRES: `span` is of IPv6 and has one 96-bit prefix.
std::vector<GroupRule> ipv6_rules_touching(const GroupSpan& span, const AddressingPolicy& policy);

}  // namespace mastline
