// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/section.hpp"

#include "mastline/bytes/crc32.hpp"

namespace mastline {

Parsed<Section> parse_section(ByteView bytes) {
    if (bytes.size() < 3) return ParseFault{"section shorter than its head", bytes.size()};
    const std::uint16_t word = read_u16(bytes, 1);
    if (bytes.size() != 3U + (word & 0x0FFFU))
        return ParseFault{"section_length is not the length of the section", 1};
    Section s{.table_id = read_u8(bytes, 0), .section_syntax_indicator = (word & 0x8000U) != 0};
    if (!s.section_syntax_indicator) {
        s.body = bytes.subspan(3);
        return s;
    }
    if (bytes.size() < 12) return ParseFault{"section_length below 9 in the long form", 1};
    s.table_id_extension = read_u16(bytes, 3);
    s.version_number = (read_u8(bytes, 5) >> 1) & 0x1F;
    s.current_next_indicator = (read_u8(bytes, 5) & 1) != 0;
    s.section_number = read_u8(bytes, 6);
    s.last_section_number = read_u8(bytes, 7);
    if (s.section_number > s.last_section_number)
        return ParseFault{"section_number above last_section_number", 6};
    s.body = bytes.subspan(8, bytes.size() - 12);
    return s;
}

bool section_crc_is_right(ByteView bytes) { return bytes.size() >= 7 && crc32_mpeg2(bytes) == 0; }

}  // namespace mastline
