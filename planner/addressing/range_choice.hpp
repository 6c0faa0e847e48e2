// SPDX-License-Identifier: Apache-2.0
// Which ranges of the policy a channel may draw its group from.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "mastline/venue/addressing_policy.hpp"
#include "mastline/venue/channels.hpp"

namespace mastline {

// Indices of ranges, in order of preference.
using RangeChoice = std::vector<std::size_t>;

// The ranges whose tag is the channel's genre or picture class; none where the scheme does not go by tag.
RangeChoice tagged_ranges(const AddressingPolicy& policy, const Channel& channel);

// Those first, then the ranges for everybody.
RangeChoice ranges_for(const AddressingPolicy& policy, const Channel& channel);

// "239.192.2.0-239.192.2.255 (sport)"
std::string names_of(const RangeChoice& ranges, const AddressingPolicy& policy);

}  // namespace mastline
