// SPDX-License-Identifier: Apache-2.0
// The adaptation field of a transport packet (ISO/IEC 13818-1, 2.4.3.4):
//
//   adaptation_field_length 8 | discontinuity_indicator 1 | random_access_indicator 1 |
//   elementary_stream_priority_indicator 1 | PCR_flag 1 | OPCR_flag 1 | splicing_point_flag 1 |
//   transport_private_data_flag 1 | adaptation_field_extension_flag 1 |
//   [program_clock_reference_base 33 | reserved 6 | program_clock_reference_extension 9] ...
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>

#include "mastline/ts/packet_header.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

struct AdaptationField {
    std::size_t length = 0;  // adaptation_field_length
    bool discontinuity_indicator = false;
    bool random_access_indicator = false;
    std::optional<PcrTicks> pcr;
    bool operator==(const AdaptationField&) const = default;
};

// The field of a packet that has one. None: its length does not fit the packet (183 without
// payload, at most 182 with), or it is too short for the PCR it announces.
constexpr std::optional<AdaptationField> parse_adaptation_field(TsPacket packet) {
    const std::size_t length = read_u8(packet, 4);
    const bool has_payload = (read_u8(packet, 3) & 0x10U) != 0;
    if (length > (has_payload ? 182U : 183U)) return std::nullopt;
    AdaptationField field{.length = length};
    if (length == 0) return field;
    const std::uint8_t flags = read_u8(packet, 5);
    field.discontinuity_indicator = (flags & 0x80U) != 0;
    field.random_access_indicator = (flags & 0x40U) != 0;
    if ((flags & 0x10U) == 0) return field;
    if (length < 7) return std::nullopt;
    const std::int64_t base = (std::int64_t{read_u32(packet, 6)} << 1) | (read_u8(packet, 10) >> 7);
    const std::int64_t extension = read_u16(packet, 10) & 0x1FFU;
    field.pcr = PcrTicks(base * 300 + extension);
    return field;
}

}  // namespace mastline
