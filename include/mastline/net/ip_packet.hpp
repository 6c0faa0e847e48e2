// SPDX-License-Identifier: Apache-2.0
// One IP packet, or one fragment of it, as it stood on the wire.
#pragma once

#include <cstdint>
#include <optional>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/net/ip_address.hpp"
#include "mastline/net/wire_frame.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

// protocol of IPv4, Next Header of IPv6 (IANA assigned numbers).
inline constexpr std::uint8_t kProtocolIgmp = 2;
inline constexpr std::uint8_t kProtocolUdp = 17;
inline constexpr std::uint8_t kProtocolIcmpV6 = 58;

// Which part of a packet a fragment is.
struct FragmentPlace {
    std::uint32_t identification = 0;
    std::size_t offset = 0;  // bytes
    bool more = false;       // More Fragments
};

struct IpPacket {
    ByteView payload;      // behind every header of the network layer; valid during the call only
    Duration arrival{};    // since the Unix epoch
    bool stamped = true;   // arrival is known
    IpAddress source;
    IpAddress destination;
    std::uint8_t protocol = 0;
    std::uint8_t ttl = 0;   // TTL or hop limit
    std::uint8_t dscp = 0;
    bool truncated = false;  // the capture kept less than was on the wire
    std::optional<FragmentPlace> fragment;
    WireFrame frame{};       // its bytes are empty when put together again
};

}  // namespace mastline
