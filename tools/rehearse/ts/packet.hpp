// SPDX-License-Identifier: Apache-2.0
// Fields of a transport packet (ISO/IEC 13818-1, 2.4.3.2) written and read in place.
//
//   byte 0     1            2    3
//   0x47 | TEI PUSI pri PID13 | scrambling 2, adaptation_field_control 2, continuity_counter 4
//   adaptation field: length, flags (0x10: PCR_flag), PCR as base 33, reserved 6, extension 9
#pragma once

#include <algorithm>
#include <array>
#include <optional>

#include "mastline/mpeg/pid.hpp"
#include "mastline/units/ticks.hpp"
#include "tools/rehearse/ts/byte_writer.hpp"

namespace mastline {

using Packet = std::array<std::byte, kTsPacketSize>;

inline constexpr std::size_t kTsHeaderSize = 4;
inline constexpr std::size_t kTsPayloadSize = kTsPacketSize - kTsHeaderSize;
// The PCR is the time of the byte that holds the last bit of program_clock_reference_base.
inline constexpr std::int64_t kPcrByte = 10;

// REQUIRES of all below: packet.size() == 188.

inline Pid pid_of(ByteView packet) {
    return Pid(read_u16(packet, 1));
}
inline bool starts_unit(ByteView packet) {
    return (read_u8(packet, 1) & 0x40) != 0;
}
inline bool has_payload(ByteView packet) {
    return (read_u8(packet, 3) & 0x10) != 0;
}
inline bool has_adaptation(ByteView packet) {
    return (read_u8(packet, 3) & 0x20) != 0;
}
inline std::uint8_t counter_of(ByteView packet) {
    return read_u8(packet, 3) & 0x0F;
}
inline void set_counter(ByteSpan packet, unsigned counter) {
    write_u8(packet, 3, (read_u8(packet, 3) & 0xF0U) | (counter & 0x0FU));
}

// Where the payload starts; 188 when there is none.
inline std::size_t payload_start(ByteView packet) {
    if (!has_payload(packet)) return kTsPacketSize;
    if (!has_adaptation(packet)) return kTsHeaderSize;
    return std::min<std::size_t>(kTsPacketSize, kTsHeaderSize + 1U + read_u8(packet, 4));
}

inline bool has_pcr(ByteView packet) {
    return has_adaptation(packet) && read_u8(packet, 4) >= 7 && (read_u8(packet, 5) & 0x10) != 0;
}

inline std::optional<PcrTicks> pcr_of(ByteView packet) {
    if (!has_pcr(packet)) return std::nullopt;
    const std::int64_t base = (std::int64_t{read_u32(packet, 6)} << 1) | (read_u8(packet, 10) >> 7);
    return PcrTicks(base * 300 + (read_u16(packet, 10) & 0x1FF));
}

// `value` wraps at kPcrWrap. REQUIRES: value >= 0, room for a PCR at byte 6
inline void write_pcr(ByteSpan packet, PcrTicks value) {
    const std::int64_t ticks = (value % kPcrWrap).count();
    const std::int64_t base = ticks / 300;
    write_u32(packet, 6, static_cast<std::uint32_t>(base >> 1));
    write_u16(packet, 10, static_cast<unsigned>(((base & 1) << 15) | 0x7E00 | (ticks % 300)));
}

// scrambling 0, priority 0, no error. The counter is 0.
inline void write_header(ByteSpan packet, Pid pid, bool unit_start, bool adaptation, bool payload) {
    write_u8(packet, 0, kSyncByte);
    write_u16(packet, 1, pid.value() | (unit_start ? 0x4000U : 0U));
    write_u8(packet, 3, (adaptation ? 0x20U : 0U) | (payload ? 0x10U : 0U));
}

// An adaptation field of `size` bytes in all (length byte included) that says nothing.
// REQUIRES: 1 <= size <= 184
inline void write_stuffing(ByteSpan packet, std::size_t size) {
    write_u8(packet, 4, static_cast<unsigned>(size - 1));
    if (size == 1) return;
    write_u8(packet, 5, 0);
    std::fill_n(packet.begin() + 6, size - 2, std::byte{0xFF});
}

// The packet becomes a null packet; receivers drop it.
inline void make_null(ByteSpan packet) {
    write_header(packet, kNullPid, false, false, true);
    std::fill(packet.begin() + kTsHeaderSize, packet.end(), std::byte{0xFF});
}

}  // namespace mastline
