// SPDX-License-Identifier: Apache-2.0
#include "mastline/rtp/header.hpp"

namespace mastline {

//  0                   1                   2                   3
// |V=2|P|X|  CC   |M|     PT      |       sequence number         |
// |                           timestamp                           |
// |           synchronization source (SSRC) identifier            |
// |            contributing source (CSRC) identifiers ...         |   RFC 3550 section 5.1
Parsed<RtpHeader> parse_rtp(ByteView datagram, bool is_whole) {
    if (datagram.size() < 12) return ParseFault{"RTP header is cut short", datagram.size()};
    const std::uint8_t first = read_u8(datagram, 0);
    if (first >> 6 != 2) return ParseFault{"RTP version is not 2", 0};
    RtpHeader out;
    const std::uint8_t second = read_u8(datagram, 1);
    out.marker = (second & 0x80) != 0;
    out.payload_type = second & 0x7F;
    out.sequence_number = read_u16(datagram, 2);
    out.timestamp = read_u32(datagram, 4);
    out.ssrc = read_u32(datagram, 8);
    out.size = 12 + std::size_t{first & 0x0FU} * 4;
    if ((first & 0x10) != 0) {  // |defined by profile 2|length in 32-bit words 2|
        if (datagram.size() < out.size + 4) return ParseFault{"header extension is cut short", out.size};
        out.size += 4 + std::size_t{read_u16(datagram, out.size + 2)} * 4;
    }
    if (datagram.size() < out.size) return ParseFault{"RTP header is cut short", datagram.size()};
    if (is_whole && (first & 0x20) != 0) {
        if (datagram.size() == out.size) return ParseFault{"padding is announced but absent", out.size};
        out.padding = read_u8(datagram, datagram.size() - 1);
        if (out.padding == 0 || out.padding > datagram.size() - out.size)
            return ParseFault{"padding exceeds the packet", datagram.size() - 1};
    }
    return out;
}

}  // namespace mastline
