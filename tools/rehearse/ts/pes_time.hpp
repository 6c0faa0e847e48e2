// SPDX-License-Identifier: Apache-2.0
// The time stamps of a PES header (ISO/IEC 13818-1, 2.4.3.7): '001x', bits 32..30, marker, 29..15,
// marker, 14..0, marker.
#pragma once

#include "mastline/units/ticks.hpp"
#include "tools/rehearse/ts/byte_writer.hpp"

namespace mastline {

inline constexpr std::size_t kPesTimeSize = 5;

// REQUIRES (both): at + kPesTimeSize <= bytes.size()
inline PtsTicks read_pes_time(ByteView bytes, std::size_t at) {
    return PtsTicks((std::int64_t{(read_u8(bytes, at) >> 1) & 7} << 30) |
                    (std::int64_t{read_u16(bytes, at + 1) >> 1} << 15) |
                    (read_u16(bytes, at + 3) >> 1));
}

// `prefix`: 2 for a PTS alone, 3 for a PTS with a DTS behind it, 1 for that DTS. The value wraps.
inline void write_pes_time(ByteSpan bytes, std::size_t at, unsigned prefix, PtsTicks time) {
    const auto value = static_cast<std::uint64_t>((time % kPtsWrap).count());
    write_u8(bytes, at, (prefix << 4) | 1U | static_cast<unsigned>((value >> 29) & 0x0E));
    write_u16(bytes, at + 1, 1U | static_cast<unsigned>((value >> 14) & 0xFFFE));
    write_u16(bytes, at + 3, 1U | static_cast<unsigned>((value << 1) & 0xFFFE));
}

// Adds to PTS and DTS where a PES packet starts here and shows them whole.
inline void shift_pes_times(ByteSpan payload, PtsTicks by) {
    constexpr std::size_t pts_at = 9;
    if (payload.size() < pts_at || read_u32(payload, 0) >> 8 != 1) return;
    if ((read_u8(payload, 6) & 0xC0) != 0x80) return;  // a stream_id without these fields
    const unsigned flags = read_u8(payload, 7) >> 6;
    for (std::size_t i = 0; i < (flags == 3 ? 2U : flags == 2 ? 1U : 0U); ++i) {
        const std::size_t at = pts_at + i * kPesTimeSize;
        if (at + kPesTimeSize > payload.size()) return;
        write_pes_time(payload, at, read_u8(payload, at) >> 4, read_pes_time(payload, at) + by);
    }
}

}  // namespace mastline
