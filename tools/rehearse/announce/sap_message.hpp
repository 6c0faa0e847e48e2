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
#include <vector>

#include "mastline/net/flow.hpp"
#include "mastline/net/group_range.hpp"

namespace mastline {

// Section 3.
inline constexpr UdpPort kSapPort{9875};
inline constexpr int kSapTtl = 255;

enum class SapType : std::uint8_t { announcement, deletion };

// A deletion carries the origin line of the description alone. The hash changes with the text, so
// that a changed session is told from a repeated one; it is never 0.
std::string sap_message(SapType type, const IpAddress& source, std::string_view description);

// Where a session of `group` is announced (section 3): the highest address of its administrative
// scope, the narrowest of `scopes`, the site's own. Where none holds it, 239/8 is taken to be cut as
// RFC 2365 sections 6.1 and 6.2 cut it (239.255/16, 239.254/16 and 239.253/16 local, 239.192/14 and
// the three /10 below it organisation; the rest one zone). Outside 239/8: 224.2.127.254, global.
// IPv6: ff0X::2:7ffe of the group's own scope X.
Group sap_group(const Group& group, const std::vector<GroupSpan>& scopes = {});

// Section 3.1: at least 300 s, and so long that all announcements together stay below 4000 bit/s.
std::chrono::seconds sap_interval(std::size_t announcements, std::size_t bytes_each);

// From one announcement to the next: the interval, made up to a third shorter or longer so that
// announcers do not fall into step. `draw` is even between 0 and 1.
std::chrono::milliseconds sap_wait(std::chrono::seconds interval, double draw);

}  // namespace mastline
