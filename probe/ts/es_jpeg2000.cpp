// SPDX-License-Identifier: Apache-2.0
// JPEG 2000: the head of an access unit (ISO/IEC 13818-1, annex S) and the SIZ marker segment of the
// codestream behind it (ISO/IEC 15444-1, A.5.1).
#include <fmt/format.h>

#include "mastline/ts/es_header.hpp"

namespace mastline {

namespace {

constexpr std::uint32_t kElsm = 0x656C736D, kFrat = 0x66726174, kFiel = 0x6669656C;
constexpr std::uint32_t kStartAndSize = 0xFF4FFF51;  // SOC, SIZ
// elsm | frat, denominator 16, numerator 16 | brat, 32, 32 (interlaced: 32 more, fiel, 8, 8) | tcod, 32 | bcol, 8, 8
constexpr std::size_t kProgressiveHead = 38, kInterlacedHead = 48, kFieldsAt = 28;
constexpr std::size_t kSizeSegment = 4 + 2 + 2 + 16;

// Rsiz: table A.10 and the broadcast profiles of amendment 3.
std::string capabilities_name(unsigned rsiz) {
    switch (rsiz & 0xFF00U) {
        case 0x0000: return rsiz == 0 ? "unrestricted" : fmt::format("Profile {}", rsiz - 1);
        case 0x0100: return "Broadcast single tile";
        case 0x0200: return "Broadcast multi-tile";
        case 0x0300: return "Broadcast multi-tile reversible";
        default: return fmt::format("Rsiz {}", rsiz);
    }
}

}  // namespace

std::optional<VideoFormat> find_jpeg2000(ByteView bytes) {
    if (bytes.size() < kInterlacedHead || read_u32(bytes, 0) != kElsm || read_u32(bytes, 4) != kFrat) return std::nullopt;
    VideoFormat f;
    f.interlaced = read_u32(bytes, kFieldsAt) == kFiel;
    const std::size_t at = f.interlaced ? kInterlacedHead : kProgressiveHead;
    if (bytes.size() < at + kSizeSegment || read_u32(bytes, at) != kStartAndSize) return std::nullopt;
    const std::uint32_t denominator = read_u16(bytes, 8), numerator = read_u16(bytes, 10);
    if (denominator > 0 && numerator > 0) f.frame_rate = FrameRate{numerator, denominator};
    const unsigned rsiz = read_u16(bytes, at + 6);
    f.profile = capabilities_name(rsiz);
    if (rsiz > 0xFF) f.level = fmt::format("{}", rsiz & 0x0FU);
    const std::uint32_t right = read_u32(bytes, at + 8), bottom = read_u32(bytes, at + 12);
    const std::uint32_t left = read_u32(bytes, at + 16), top = read_u32(bytes, at + 20);
    if (left >= right || top >= bottom || right - left > 65536 || bottom - top > 32768) return std::nullopt;
    f.width = right - left;
    f.height = (bottom - top) * (f.interlaced ? 2 : 1);  // a codestream for each field
    return f;
}

}  // namespace mastline
