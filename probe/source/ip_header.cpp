// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/ip_header.hpp"

#include <algorithm>
#include <array>

namespace mastline {

namespace {

//  0                   1                   2                   3
// |Version|  IHL  |  DSCP     |ECN|         Total Length          |
// |         Identification        |0|DF|MF|  Fragment Offset      |
// |      TTL      |    Protocol   |        Header Checksum        |
// |                        Source Address                         |
// |                      Destination Address                      |   RFC 791 section 3.1
std::optional<ParseFault> read_v4(ByteView bytes, IpPacket& out) {
    if (bytes.size() < 20) return ParseFault{"IPv4 header is cut short", bytes.size()};
    const std::size_t header = std::size_t{read_u8(bytes, 0) & 0x0FU} * 4;
    if (header < 20) return ParseFault{"IHL is below 5", 0};
    if (bytes.size() < header) return ParseFault{"IPv4 options are cut short", bytes.size()};
    // Segmentation offload leaves 0 in captures of sent packets: then all that is there counts.
    const std::size_t told = read_u16(bytes, 2);
    const std::size_t total = told == 0 ? bytes.size() : told;
    if (total < header) return ParseFault{"Total Length is below the header's", 2};
    out.truncated = total > bytes.size();
    out.payload = bytes.first(std::min(total, bytes.size())).subspan(header);
    out.dscp = read_u8(bytes, 1) >> 2;
    out.ttl = read_u8(bytes, 8);
    out.protocol = read_u8(bytes, 9);
    out.source = IpAddress::v4(read_u32(bytes, 12));
    out.destination = IpAddress::v4(read_u32(bytes, 16));
    const std::uint16_t flags = read_u16(bytes, 6);
    if ((flags & 0x3FFF) != 0)
        out.fragment = FragmentPlace{read_u16(bytes, 4), std::size_t{flags & 0x1FFFU} * 8,
                                     (flags & 0x2000) != 0};
    return std::nullopt;
}

IpAddress v6_at(ByteView bytes, std::size_t at) {
    std::array<std::uint8_t, 16> out{};
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = read_u8(bytes, at + i);
    return IpAddress::v6(out);
}

// Extension headers, RFC 8200 section 4 and RFC 4302 (authentication).
enum : std::uint8_t { kHopByHop = 0, kRouting = 43, kFragment = 44, kAuthentication = 51,
                      kDestinationOptions = 60 };

bool is_extension(std::uint8_t next) {
    return next == kHopByHop || next == kRouting || next == kFragment || next == kAuthentication ||
           next == kDestinationOptions;
}

// Moves packet.payload and packet.protocol behind the extension headers.
std::optional<ParseFault> pass_extensions(IpPacket& packet) {
    while (is_extension(packet.protocol)) {
        const ByteView rest = packet.payload;
        if (rest.size() < 8) return ParseFault{"IPv6 extension header is cut short", 40};
        const std::uint8_t length = read_u8(rest, 1);
        std::size_t size = (std::size_t{length} + 1) * 8;
        if (packet.protocol == kFragment) {
            size = 8;
            const std::uint16_t place = read_u16(rest, 2);
            if ((place & 0xFFF9) != 0)  // an atomic fragment (RFC 6946) is the whole packet
                packet.fragment =
                    FragmentPlace{read_u32(rest, 4), std::size_t{place & 0xFFF8U}, (place & 1) != 0};
        } else if (packet.protocol == kAuthentication) {
            size = (std::size_t{length} + 2) * 4;
        }
        if (rest.size() < size) return ParseFault{"IPv6 extension header is cut short", 40};
        packet.protocol = read_u8(rest, 0);
        packet.payload = rest.subspan(size);
        if (packet.fragment) break;  // headers behind it are of the packet that is put together
    }
    return std::nullopt;
}

// |Version| Traffic Class |           Flow Label                  |
// |         Payload Length        |  Next Header  |   Hop Limit   |
// | Source Address, 16 bytes      | Destination Address, 16 bytes |   RFC 8200 section 3
std::optional<ParseFault> read_v6(ByteView bytes, IpPacket& out) {
    if (bytes.size() < 40) return ParseFault{"IPv6 header is cut short", bytes.size()};
    const std::size_t told = read_u16(bytes, 4);
    const std::size_t payload = told == 0 ? bytes.size() - 40 : told;
    out.truncated = payload > bytes.size() - 40;
    out.payload = bytes.subspan(40, std::min(payload, bytes.size() - 40));
    out.dscp = static_cast<std::uint8_t>((read_u16(bytes, 0) >> 6) & 0x3F);
    out.protocol = read_u8(bytes, 6);
    out.ttl = read_u8(bytes, 7);
    out.source = v6_at(bytes, 8);
    out.destination = v6_at(bytes, 24);
    return pass_extensions(out);
}

std::optional<ParseFault> read_packet(ByteView bytes, IpPacket& out) {
    if (bytes.empty()) return ParseFault{"no IP header", 0};
    switch (read_u8(bytes, 0) >> 4) {
        case 4: return read_v4(bytes, out);
        case 6: return read_v6(bytes, out);
        default: return ParseFault{"IP version is neither 4 nor 6", 0};
    }
}

// |          Source Port          |       Destination Port        |
// |            Length             |           Checksum            |   RFC 768
std::optional<ParseFault> read_udp(const IpPacket& packet, Datagram& out) {
    const ByteView bytes = packet.payload;
    if (bytes.size() < 8) return ParseFault{"UDP header is cut short", bytes.size()};
    // Length 0: longer than 65,535 bytes (RFC 2675) or left to offload; all that is there counts.
    const std::size_t told = read_u16(bytes, 4);
    if (told != 0 && told < 8) return ParseFault{"UDP Length is below 8", 4};
    const std::size_t length = told == 0 ? bytes.size() : told;
    if (length > bytes.size() && !packet.truncated)
        return ParseFault{"UDP Length exceeds the packet", 4};
    out.payload = bytes.first(std::min(length, bytes.size())).subspan(8);
    out.arrival = packet.arrival;
    out.stamped = packet.stamped;
    out.source = packet.source;
    out.destination = packet.destination;
    out.source_port = {read_u16(bytes, 0)};
    out.port = {read_u16(bytes, 2)};
    out.ttl = packet.ttl;
    out.dscp = packet.dscp;
    out.truncated = length > bytes.size();
    out.told_size = length - 8;
    out.frame = packet.frame;
    return std::nullopt;
}

}  // namespace

// Both fill their result where it stays: a copy would wait for the many small stores before it.
Parsed<IpPacket> parse_ip_packet(ByteView bytes) {
    Parsed<IpPacket> out{IpPacket{}};
    if (const auto fault = read_packet(bytes, *out)) out = *fault;
    return out;
}

std::optional<ParseFault> pass_inner_headers(IpPacket& packet) {
    if (packet.source.is_v4()) return std::nullopt;
    if (const auto fault = pass_extensions(packet)) return fault;
    return packet.fragment ? std::optional(ParseFault{"a fragment within fragments", 40}) : std::nullopt;
}

Parsed<Datagram> parse_udp(const IpPacket& packet) {
    Parsed<Datagram> out{Datagram{}};
    if (const auto fault = read_udp(packet, *out)) out = *fault;
    return out;
}

}  // namespace mastline
