// SPDX-License-Identifier: Apache-2.0
// The four bytes in front of every transport packet (ISO/IEC 13818-1, 2.4.3.2):
//
//   sync_byte 8 | transport_error_indicator 1 | payload_unit_start_indicator 1 |
//   transport_priority 1 | PID 13 | transport_scrambling_control 2 | adaptation_field_control 2 |
//   continuity_counter 4
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/mpeg/pid.hpp"

namespace mastline {

using TsPacket = std::span<const std::byte, kTsPacketSize>;

struct PacketHeader {
    bool transport_error_indicator = false;
    bool payload_unit_start_indicator = false;
    bool transport_priority = false;
    Pid pid;
    std::uint8_t transport_scrambling_control = 0;
    bool has_adaptation_field = false;  // adaptation_field_control 10 or 11
    bool has_payload = false;           // adaptation_field_control 01 or 11
    std::uint8_t continuity_counter = 0;
    bool operator==(const PacketHeader&) const = default;
};

// The header of a packet whose sync byte need not be right.
constexpr PacketHeader packet_header(TsPacket packet) {
    const std::uint32_t h = read_u32(packet, 0);
    return {.transport_error_indicator = (h & 0x800000U) != 0,
            .payload_unit_start_indicator = (h & 0x400000U) != 0,
            .transport_priority = (h & 0x200000U) != 0,
            .pid = Pid(static_cast<std::uint16_t>((h >> 8) & 0x1FFFU)),
            .transport_scrambling_control = static_cast<std::uint8_t>((h >> 6) & 3U),
            .has_adaptation_field = (h & 0x20U) != 0,
            .has_payload = (h & 0x10U) != 0,
            .continuity_counter = static_cast<std::uint8_t>(h & 15U)};
}

// None: no sync byte.
constexpr std::optional<PacketHeader> parse_packet_header(TsPacket packet) {
    if (read_u8(packet, 0) != kSyncByte) return std::nullopt;
    return packet_header(packet);
}

}  // namespace mastline
