// SPDX-License-Identifier: Apache-2.0
// The head of a PES packet (ISO/IEC 13818-1, 2.4.3.6):
//
//   packet_start_code_prefix 24 | stream_id 8 | PES_packet_length 16 | '10' |
//   PES_scrambling_control 2 | priority 1 | data_alignment_indicator 1 | copyright 1 | original 1 |
//   PTS_DTS_flags 2 | six more flags | PES_header_data_length 8 | [PTS 40] [DTS 40] ...
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/bytes/parsed.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

struct PesHeader {
    std::uint8_t stream_id = 0;
    std::uint16_t packet_length = 0;  // PES_packet_length; 0: not stated (video only)
    std::uint8_t scrambling_control = 0;
    std::optional<PtsTicks> pts, dts;
    std::size_t size = 6;  // of the head: where the payload begins
    bool operator==(const PesHeader&) const = default;
};

// `bytes` begin with the PES packet and hold at least its head, or what one transport packet has
// of it: then `size` can point beyond them.
Parsed<PesHeader> parse_pes_header(ByteView bytes);

}  // namespace mastline
