// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/pes_header.hpp"

namespace mastline {

namespace {

// stream_ids whose packets have no optional head (ISO/IEC 13818-1, 2.4.3.7): program_stream_map,
// padding, private_stream_2, ECM, EMM, DSM-CC, H.222.1 type E, program_stream_directory.
bool is_plain(std::uint8_t id) {
    return id == 0xBC || id == 0xBE || id == 0xBF || id == 0xF0 || id == 0xF1 || id == 0xF2 ||
           id == 0xF8 || id == 0xFF;
}

// '001x' | bits 32..30 | marker | bits 29..15 | marker | bits 14..0 | marker
PtsTicks stamp(ByteView b, std::size_t at) {
    return PtsTicks((std::int64_t{read_u8(b, at) & 0x0EU} << 29) |
                    (std::int64_t{read_u16(b, at + 1) & 0xFFFEU} << 14) | (read_u16(b, at + 3) >> 1));
}

}  // namespace

Parsed<PesHeader> parse_pes_header(ByteView bytes) {
    if (bytes.size() < 6) return ParseFault{"PES head cut short", bytes.size()};
    if (read_u16(bytes, 0) != 0 || read_u8(bytes, 2) != 1)
        return ParseFault{"no packet_start_code_prefix", 0};
    PesHeader head{.stream_id = read_u8(bytes, 3), .packet_length = read_u16(bytes, 4)};
    if (is_plain(head.stream_id)) return head;
    if (bytes.size() < 9) return ParseFault{"PES head cut short", bytes.size()};
    if ((read_u8(bytes, 6) & 0xC0U) != 0x80U) return ParseFault{"no '10' behind PES_packet_length", 6};
    head.scrambling_control = (read_u8(bytes, 6) >> 4) & 3U;
    const unsigned flags = read_u8(bytes, 7) >> 6;
    const std::size_t length = read_u8(bytes, 8);
    head.size = 9 + length;
    if (flags == 1) return ParseFault{"PTS_DTS_flags 01 is forbidden", 7};
    const std::size_t needed = flags == 3 ? 10 : flags == 2 ? 5 : 0;
    if (length < needed) return ParseFault{"PES_header_data_length too short for its stamps", 8};
    if (bytes.size() < 9 + needed) return ParseFault{"PES head cut short", bytes.size()};
    if (flags >= 2) head.pts = stamp(bytes, 9);
    if (flags == 3) head.dts = stamp(bytes, 14);
    return head;
}

}  // namespace mastline
