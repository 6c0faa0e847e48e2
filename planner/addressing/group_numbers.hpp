// SPDX-License-Identifier: Apache-2.0
// Groups and their Ethernet addresses as numbers, for arithmetic on whole ranges.
#pragma once

#include <cstdint>
#include <vector>

#include "mastline/net/group_range.hpp"
#include "planner/addressing/interval_set.hpp"

namespace mastline {

// The last 32 bits: the whole of an IPv4 address, the group id of an IPv6 group (RFC 3307).
constexpr std::uint32_t last_word(const IpAddress& a) {
    const auto& b = a.bytes();
    const std::size_t at = a.is_v4() ? 0 : 12;
    return (std::uint32_t{b[at]} << 24) | (std::uint32_t{b[at + 1]} << 16) |
           (std::uint32_t{b[at + 2]} << 8) | b[at + 3];
}

// `like` with other last 32 bits. REQUIRES: the result is multicast.
constexpr Group group_like(const Group& like, std::uint32_t word) {
    if (like.address().is_v4()) return *Group::of(IpAddress::v4(word));
    auto bytes = like.address().bytes();
    for (std::size_t i = 0; i < 4; ++i)
        bytes[12 + i] = static_cast<std::uint8_t>(word >> (24 - 8 * i));
    return *Group::of(IpAddress::v6(bytes));
}

// A number for each Ethernet group address: IPv4 groups share the 2^23 from 0, IPv6 groups the
// 2^32 from 2^32. Two groups that switches cannot tell apart have the same number.
inline constexpr std::uint64_t kMacs4 = std::uint64_t{1} << 23;
inline constexpr std::uint64_t kMacs6 = std::uint64_t{1} << 32;

constexpr std::uint64_t mac_number(const Group& group) {
    const std::uint64_t word = last_word(group.address());
    return group.address().is_v4() ? word % kMacs4 : kMacs6 + word;
}

// The Ethernet addresses of a run of groups: one run of numbers, or two where the run wraps.
// REQUIRES: last >= first, both of one version.
inline std::vector<NumberSpan> mac_spans(const GroupSpan& groups) {
    const auto& a = groups.first.address();
    const auto& b = groups.last.address();
    const std::uint64_t first = mac_number(groups.first), last = mac_number(groups.last);
    if (a.is_v4()) {
        if (std::uint64_t{last_word(b)} - last_word(a) >= kMacs4 - 1) return {{0, kMacs4}};
        if (last < first) return {{first, kMacs4}, {0, last + 1}};
        return {{first, last + 1}};
    }
    const bool one_prefix = std::equal(a.bytes().begin(), a.bytes().begin() + 12, b.bytes().begin());
    if (!one_prefix) return {{kMacs6, 2 * kMacs6}};
    return {{first, last + 1}};
}

}  // namespace mastline
