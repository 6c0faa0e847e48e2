// SPDX-License-Identifier: Apache-2.0
#include "mastline/rtp/fec_header.hpp"

namespace mastline {

// |      SNBase low bits          |        Length Recovery        |
// |E| PT recovery |                     Mask                      |
// |                          TS recovery                          |
// |X|D|type |index|    Offset     |      NA       |SNBase ext bits|   SMPTE ST 2022-1
Parsed<FecHeader> parse_fec_header(ByteView body) {
    if (body.size() < FecHeader::kSize) return ParseFault{"FEC header is cut short", body.size()};
    const std::uint8_t kinds = read_u8(body, 12);
    if ((read_u8(body, 4) & 0x80) == 0) return ParseFault{"no extended FEC header (E is 0)", 4};
    if ((kinds & 0x80) != 0) return ParseFault{"a further header extension is announced (X is 1)", 12};
    if ((kinds & 0x38) != 0) return ParseFault{"FEC type is not the exclusive or", 12};
    FecHeader out;
    out.base = read_u16(body, 0);
    out.length = read_u16(body, 2);
    out.payload_type = read_u8(body, 4) & 0x7F;
    out.timestamp = read_u32(body, 8);
    out.row = (kinds & 0x40) != 0;
    out.step = read_u8(body, 13);
    out.count = read_u8(body, 14);
    if (out.step == 0 || out.count == 0) return ParseFault{"protects nothing", 13};
    return out;
}

}  // namespace mastline
