// SPDX-License-Identifier: Apache-2.0
// MPEG-4 visual: the video object layer (ISO/IEC 14496-2, 6.2.3).
#include <array>
#include <bit>
#include <string>

#include "bit_reader.hpp"
#include "mastline/ts/es_header.hpp"
#include "start_codes.hpp"

namespace mastline {

namespace {

// profile_and_level_indication, table G.1: the two that television carries.
void name_visual_profile(unsigned indication, VideoFormat& f) {
    const unsigned level = indication & 0x0FU;
    if (indication >> 4 == 0x0) f.profile = "Simple", f.level = level == 8 ? "0" : std::to_string(level);
    if (indication >> 4 == 0xF) f.profile = "Advanced Simple", f.level = std::to_string(level);
}

void skip_control_parameters(BitReader& bits) {
    bits.skip(2 + 1);  // chroma_format, low_delay
    if (bits.flag()) bits.skip(79);  // vbv_parameters
}

std::optional<VideoFormat> object_layer(BitReader bits, VideoFormat f) {
    bits.skip(1 + 8);  // random_accessible_vol, video_object_type_indication
    if (bits.flag()) bits.skip(4 + 3);         // its own version and priority
    if (bits.bits(4) == 15) bits.skip(8 + 8);  // aspect_ratio_info
    if (bits.flag()) skip_control_parameters(bits);
    if (bits.bits(2) != 0) return std::nullopt;  // not rectangular
    bits.skip(1);
    const std::uint32_t resolution = bits.bits(16);
    bits.skip(1);
    if (resolution == 0) return std::nullopt;
    if (bits.flag()) {  // fixed_vop_rate
        const std::uint32_t step = bits.bits(std::max(1U, static_cast<unsigned>(std::bit_width(resolution - 1U))));
        if (step > 0) f.frame_rate = FrameRate{resolution, step};
    }
    bits.skip(1);
    f.width = bits.bits(13);
    bits.skip(1);
    f.height = bits.bits(13);
    bits.skip(1);
    f.interlaced = bits.flag();
    return bits.ok() && f.width > 0 && f.height > 0 ? std::optional(f) : std::nullopt;
}

}  // namespace

std::optional<VideoFormat> find_mpeg4_video(ByteView bytes) {
    VideoFormat format;
    while (const auto unit = after_start_code(bytes)) {
        bytes = *unit;
        const std::uint8_t code = read_u8(*unit, 0);
        if (code == 0xB0 && unit->size() > 1) name_visual_profile(read_u8(*unit, 1), format);
        if (code >= 0x20 && code <= 0x2F)
            if (const auto whole = object_layer(BitReader(unit->subspan(1)), format)) return whole;
    }
    return std::nullopt;
}

}  // namespace mastline
