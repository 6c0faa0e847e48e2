// SPDX-License-Identifier: Apache-2.0
// IPv4 (RFC 791), IPv6 (RFC 8200) and UDP (RFC 768) headers, options and extension headers passed.
#pragma once

#include <optional>

#include "mastline/bytes/parsed.hpp"
#include "mastline/net/datagram.hpp"
#include "mastline/net/ip_packet.hpp"

namespace mastline {

// `bytes` may hold a trailer (Ethernet padding) or end early (a capture with a short snap length).
Parsed<IpPacket> parse_ip_packet(ByteView bytes);

// Moves a packet that was put together from IPv6 fragments behind the extension headers that were in its fragments
// (RFC 8200 section 4.5); an IPv4 packet stays as it is.
std::optional<ParseFault> pass_inner_headers(IpPacket& packet);

// REQUIRES: packet.protocol is UDP and packet.fragment is none.
Parsed<Datagram> parse_udp(const IpPacket& packet);

}  // namespace mastline
