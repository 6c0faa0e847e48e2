// SPDX-License-Identifier: Apache-2.0
// Session announcements (RFC 2974 section 6), written.
//
//    0                   1                   2                   3
//    0 1 2 3 4 5 6 7 8 9 0 1 2 3 4 5 6 7 8 9 0 1 2 3 4 5 6 7 8 9 0 1
//   +-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+
//   | V=1 |A|R|T|E|C|   auth len    |         msg id hash           |
//   +-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+
//   |                originating source (32 or 128 bits)            |
//   +-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+
//   |             "application/sdp" and a zero, then the payload    |
//   +-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+-+
#pragma once

#include <chrono>
#include <string>
#include <string_view>

#include "mastline/net/flow.hpp"

namespace mastline {

// Section 3.
inline constexpr UdpPort kSapPort{9875};
inline constexpr int kSapTtl = 255;

enum class SapType : std::uint8_t { announcement, deletion };

// A deletion carries the origin line of the description alone. The hash changes with the text, so
// that a changed session is told from a repeated one; it is never 0.
std::string sap_message(SapType type, const IpAddress& source, std::string_view description);

// Where a session of `group` is announced: the highest address of its administrative scope (RFC
// 2365: 239.255/16 local, 239.192/14 organisation), else 224.2.127.254; IPv6 ff0X::2:7ffe of the
// group's own scope X.
Group sap_group(const Group& group);

// Section 3.1: at least 300 s, and so long that all announcements together stay below 4000 bit/s.
std::chrono::seconds sap_interval(std::size_t announcements, std::size_t bytes_each);

}  // namespace mastline
