// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "bit_reader.hpp"
#include "mastline/ts/es_header.hpp"
#include "start_codes.hpp"
#include "video_usability.hpp"

namespace mastline {

namespace {

// ISO/IEC 14496-10 annex A.2.
std::string profile_name(unsigned profile, unsigned constraints) {
    switch (profile) {
        case 66: return (constraints & 0x40U) != 0 ? "Constrained Baseline" : "Baseline";
        case 77: return "Main";
        case 88: return "Extended";
        case 100: return "High";
        case 110: return "High 10";
        case 122: return "High 4:2:2";
        case 244: return "High 4:4:4 Predictive";
        case 44: return "CAVLC 4:4:4 Intra";
        default: return fmt::format("profile_idc {}", profile);
    }
}

std::string level_name(unsigned profile, unsigned constraints, unsigned level) {
    const bool one_b = (profile == 66 || profile == 77 || profile == 88) && level == 11 &&
                       (constraints & 0x10U) != 0;
    if (one_b || level == 9) return "1b";
    return level % 10 == 0 ? fmt::format("{}", level / 10) : fmt::format("{}.{}", level / 10, level % 10);
}

bool has_chroma_fields(unsigned profile) {
    switch (profile) {
        case 100: case 110: case 122: case 244: case 44: case 83: case 86: case 118: case 128:
        case 138: case 139: case 134: case 135: return true;
        default: return false;
    }
}

void skip_scaling_list(BitReader& bits, int size) {
    int last = 8, next = 8;
    for (int i = 0; i < size && bits.ok(); ++i) {
        // delta_scale may be any 32-bit value in a broken stream: added without a sign, it wraps.
        if (next != 0) next = static_cast<int>((static_cast<unsigned>(last) + static_cast<unsigned>(bits.se())) & 0xFFU);
        if (next != 0) last = next;
    }
}

unsigned read_chroma_fields(BitReader& bits) {
    const unsigned chroma = bits.ue();
    if (chroma == 3) bits.skip(1);  // separate_colour_plane_flag
    bits.ue();
    bits.ue();     // bit depths
    bits.skip(1);  // qpprime_y_zero_transform_bypass_flag
    if (bits.flag())
        for (int i = 0; i < (chroma == 3 ? 12 : 8); ++i)
            if (bits.flag()) skip_scaling_list(bits, i < 6 ? 16 : 64);
    return chroma;
}

void skip_picture_order(BitReader& bits) {
    const unsigned type = bits.ue();
    if (type == 0) bits.ue();
    if (type != 1) return;
    bits.skip(1);
    bits.se();
    bits.se();
    const unsigned cycle = bits.ue();
    for (unsigned i = 0; i < cycle && bits.ok(); ++i) bits.se();
}

// Crop units of ISO/IEC 14496-10, 7.4.2.1.1.
void read_size(BitReader& bits, unsigned chroma, VideoFormat& f) {
    const std::uint32_t columns = bits.ue() + 1, rows = bits.ue() + 1;
    const bool frames_only = bits.flag();
    if (!frames_only) bits.skip(1);  // mb_adaptive_frame_field_flag
    bits.skip(1);                    // direct_8x8_inference_flag
    f.interlaced = !frames_only;
    f.width = columns * 16;
    f.height = rows * 16 * (frames_only ? 1 : 2);
    if (!bits.flag()) return;
    const std::uint32_t unit_x = chroma == 1 || chroma == 2 ? 2 : 1;
    const std::uint32_t unit_y = (chroma == 1 ? 2U : 1U) * (frames_only ? 1U : 2U);
    const std::uint32_t x = unit_x * (bits.ue() + bits.ue()), y = unit_y * (bits.ue() + bits.ue());
    f.width = x < f.width ? f.width - x : 0;
    f.height = y < f.height ? f.height - y : 0;
}

// Two ticks make a frame (time_scale counts fields), E.2.1.
void read_timing(BitReader& bits, VideoFormat& f) {
    if (!bits.flag()) return;
    skip_common_usability(bits);
    if (!bits.flag()) return;
    const std::uint64_t units = bits.bits(32), scale = bits.bits(32);
    if (units == 0 || scale == 0 || !bits.ok() || units > 0x7FFFFFFF) return;
    const auto per_frame = static_cast<std::uint32_t>(units * 2);
    f.frame_rate = scale % 2 == 0 ? FrameRate{static_cast<std::uint32_t>(scale / 2), static_cast<std::uint32_t>(units)}
                                  : FrameRate{static_cast<std::uint32_t>(scale), per_frame};
}

std::optional<VideoFormat> parse_parameter_set(ByteView payload) {
    BitReader bits(payload);
    const unsigned profile = bits.bits(8), constraints = bits.bits(8), level = bits.bits(8);
    VideoFormat f{.profile = profile_name(profile, constraints),
                  .level = level_name(profile, constraints, level)};
    if (bits.ue() > 31) return std::nullopt;  // seq_parameter_set_id
    const unsigned chroma = has_chroma_fields(profile) ? read_chroma_fields(bits) : 1;
    bits.ue();  // log2_max_frame_num_minus4
    skip_picture_order(bits);
    bits.ue();     // max_num_ref_frames
    bits.skip(1);  // gaps_in_frame_num_value_allowed_flag
    read_size(bits, chroma, f);
    if (!bits.ok() || chroma > 3 || f.width == 0 || f.height == 0 || f.width > 16384 || f.height > 16384)
        return std::nullopt;
    read_timing(bits, f);
    return f;
}

}  // namespace

std::optional<VideoFormat> find_avc(ByteView bytes) {
    while (const auto unit = after_start_code(bytes)) {
        bytes = *unit;
        if ((read_u8(*unit, 0) & 0x9FU) != 7) continue;  // nal_unit_type 7
        const UnitPayload payload(unit->subspan(1));
        if (!payload.whole()) return std::nullopt;  // the rest may come with the next packet
        if (const auto format = parse_parameter_set(payload.bytes())) return format;
    }
    return std::nullopt;
}

}  // namespace mastline
