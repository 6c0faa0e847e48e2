// SPDX-License-Identifier: Apache-2.0
// The short way for what nearly every captured frame is: one whole UDP datagram in Ethernet and IPv4,
// without tags, options or fragments.
#pragma once

#include "mastline/source/frame_decoder.hpp"

namespace mastline {

// Whether the frame is one; `out` is what parse_ip_packet() and parse_udp() would make of it.
inline bool read_plain_datagram(const CapturedFrame& frame, Datagram& out) {
    constexpr std::size_t ip = 14, udp = ip + 20, payload = udp + 8;
    const ByteView f = frame.bytes;
    if (frame.link != kLinkEthernet || f.size() < payload) return false;
    // EtherType 0x0800; version 4, IHL 5; no fragment; UDP.
    const bool plain = read_u16(f, 12) == 0x0800 && read_u8(f, ip) == 0x45 &&
                       (read_u16(f, ip + 6) & 0x3FFF) == 0 && read_u8(f, ip + 9) == kProtocolUdp;
    const std::size_t total = read_u16(f, ip + 2), length = read_u16(f, udp + 4);
    if (!plain || total > f.size() - ip || length < 8 || length + 20 > total) return false;
    out.payload = f.subspan(payload, length - 8);
    out.arrival = frame.arrival;
    out.source = IpAddress::v4(read_u32(f, ip + 12));
    out.destination = IpAddress::v4(read_u32(f, ip + 16));
    out.source_port = {read_u16(f, udp)};
    out.port = {read_u16(f, udp + 2)};
    out.ttl = read_u8(f, ip + 8);
    out.dscp = read_u8(f, ip + 1) >> 2;
    out.stamped = frame.stamped;
    out.truncated = false;
    out.frame = frame.on_wire({true, 0, {}});
    return true;
}

}  // namespace mastline
