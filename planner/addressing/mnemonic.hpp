// SPDX-License-Identifier: Apache-2.0
// Groups that show the channel number.
#pragma once

#include <optional>

#include "mastline/venue/addressing_policy.hpp"

namespace mastline {

// 101 becomes x.y.1.1 in a range of more than 256 groups and x.y.z.101 in a smaller one; 5.1
// becomes x.y.5.1; in IPv6 101 becomes ...:8000:101 and 5.1 ...:8005:1. None when the range holds
// no such group.
std::optional<Group> mnemonic_group(const GroupRange& range, const ChannelNumber& number);

}  // namespace mastline
