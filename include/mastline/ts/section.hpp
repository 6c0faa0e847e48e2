// SPDX-License-Identifier: Apache-2.0
// The head of a section (ISO/IEC 13818-1, 2.4.4; long form where section_syntax_indicator is 1):
//
//   table_id 8 | section_syntax_indicator 1 | private_indicator 1 | reserved 2 | section_length 12 |
//   table_id_extension 16 | reserved 2 | version_number 5 | current_next_indicator 1 |
//   section_number 8 | last_section_number 8 | body ... | CRC_32 32
#pragma once

#include <cstdint>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/bytes/parsed.hpp"

namespace mastline {

struct Section {
    std::uint8_t table_id = 0;
    bool section_syntax_indicator = false;
    std::uint16_t table_id_extension = 0;
    std::uint8_t version_number = 0;
    bool current_next_indicator = true;
    std::uint8_t section_number = 0;
    std::uint8_t last_section_number = 0;
    ByteView body;  // between the head and the CRC_32 (short form: all after section_length)
};

// The section at the start of `bytes`, which must hold exactly one. The CRC_32 is not looked at.
Parsed<Section> parse_section(ByteView bytes);

// Whether the CRC_32 at the end of a whole section is right.
bool section_crc_is_right(ByteView bytes);

}  // namespace mastline
