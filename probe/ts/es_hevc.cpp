// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <fmt/format.h>

#include "bit_reader.hpp"
#include "mastline/ts/es_header.hpp"
#include "start_codes.hpp"
#include "video_usability.hpp"

namespace mastline {

namespace {

// ISO/IEC 23008-2 annex A.3.
std::string hevc_profile_name(unsigned profile) {
    switch (profile) {
        case 1: return "Main";
        case 2: return "Main 10";
        case 3: return "Main Still Picture";
        case 4: return "Rext";
        default: return fmt::format("profile_idc {}", profile);
    }
}

// general_level_idc is 30 times the level.
std::string hevc_level_name(unsigned level) {
    return level % 30 == 0 ? fmt::format("{}", level / 30) : fmt::format("{}.{}", level / 30, level % 30 / 3);
}

// profile_tier_level, 7.3.3.
void read_profile(BitReader& bits, unsigned sub_layers, VideoFormat& f) {
    bits.skip(3);  // general_profile_space, general_tier_flag
    const unsigned profile = bits.bits(5), compatible = bits.bits(32);
    const bool progressive = bits.flag(), interlaced = bits.flag();
    bits.skip(46);
    const unsigned level = bits.bits(8);
    unsigned found = profile;
    for (unsigned i = 1; found == 0 && i < 32; ++i)
        if ((compatible >> (31 - i) & 1U) != 0) found = i;
    f.profile = hevc_profile_name(found);
    f.level = hevc_level_name(level);
    f.interlaced = interlaced && !progressive;
    std::array<bool, 8> has_profile{}, has_level{};
    for (unsigned i = 0; i < sub_layers; ++i) has_profile[i] = bits.flag(), has_level[i] = bits.flag();
    if (sub_layers > 0) bits.skip(std::size_t{2} * (8 - sub_layers));
    for (unsigned i = 0; i < sub_layers; ++i)
        bits.skip((has_profile[i] ? 88U : 0U) + (has_level[i] ? 8U : 0U));
}

void skip_scaling_lists(BitReader& bits) {
    for (int size = 0; size < 4; ++size)
        for (int matrix = 0; matrix < 6; matrix += size == 3 ? 3 : 1) {
            if (!bits.flag()) {
                bits.ue();
                continue;
            }
            if (size > 1) bits.se();
            for (int i = 0; i < std::min(64, 1 << (4 + (size << 1))) && bits.ok(); ++i) bits.se();
        }
}

// st_ref_pic_set, 7.3.7; false: more pictures than the standard allows.
bool skip_reference_set(BitReader& bits, unsigned index, std::array<unsigned, 65>& pictures) {
    if (index > 0 && bits.flag()) {
        bits.skip(1);
        bits.ue();
        unsigned kept = 0;
        for (unsigned i = 0; i <= pictures[index - 1]; ++i) {
            const bool used = bits.flag();
            if (used || bits.flag()) ++kept;
        }
        pictures[index] = kept;
        return kept <= 16;
    }
    const unsigned negative = bits.ue(), positive = bits.ue();
    if (negative > 16 || positive > 16) return false;
    for (unsigned i = 0; i < negative + positive; ++i) {
        bits.ue();
        bits.skip(1);
    }
    pictures[index] = negative + positive;
    return true;
}

bool skip_reference_sets(BitReader& bits) {
    const unsigned sets = bits.ue();
    if (sets > 64) return false;
    std::array<unsigned, 65> pictures{};
    for (unsigned i = 0; i < sets; ++i)
        if (!skip_reference_set(bits, i, pictures)) return false;
    return bits.ok();
}

// E.2.1: one tick makes a frame, or a field where field_seq_flag is set.
void read_usability(BitReader& bits, VideoFormat& f) {
    skip_common_usability(bits);
    bits.skip(1);  // neutral_chroma_indication_flag
    const bool fields = bits.flag();
    bits.skip(1);  // frame_field_info_present_flag
    if (bits.flag())
        for (int i = 0; i < 4; ++i) bits.ue();  // default display window
    if (!bits.flag()) return;
    const std::uint32_t units = bits.bits(32), scale = bits.bits(32);
    if (!bits.ok() || units == 0 || scale == 0 || units > 0x7FFFFFFF) return;
    f.interlaced = f.interlaced || fields;
    f.frame_rate = FrameRate{scale, fields ? units * 2 : units};
}

struct Window {
    std::uint32_t across = 0, down = 0;
};

Window read_window(BitReader& bits, unsigned chroma) {
    const std::uint32_t x = chroma == 1 || chroma == 2 ? 2 : 1, y = chroma == 1 ? 2 : 1;
    const std::uint32_t across = bits.ue() + bits.ue(), down = bits.ue() + bits.ue();
    return {x * across, y * down};
}

bool skip_coding_tools(BitReader& bits, unsigned sub_layers) {
    bits.ue();
    bits.ue();  // bit depths
    const unsigned order_bits = bits.ue() + 4;
    for (unsigned i = bits.flag() ? 0 : sub_layers; i <= sub_layers; ++i)
        for (int k = 0; k < 3; ++k) bits.ue();
    for (int i = 0; i < 6; ++i) bits.ue();  // block sizes and depths
    if (bits.flag() && bits.flag()) skip_scaling_lists(bits);
    bits.skip(2);  // amp_enabled_flag, sample_adaptive_offset_enabled_flag
    if (bits.flag()) {  // pcm_enabled_flag
        bits.skip(8);
        bits.ue();
        bits.ue();
        bits.skip(1);
    }
    if (!skip_reference_sets(bits)) return false;
    if (bits.flag()) {  // long_term_ref_pics_present_flag
        const unsigned count = bits.ue();
        if (count > 32) return false;
        bits.skip(std::size_t{count} * (order_bits + 1));
    }
    bits.skip(2);  // sps_temporal_mvp_enabled_flag, strong_intra_smoothing_enabled_flag
    return bits.ok();
}

std::optional<VideoFormat> parse_sequence_parameter_set(ByteView payload) {
    BitReader bits(payload);
    bits.skip(4);  // sps_video_parameter_set_id
    const unsigned sub_layers = bits.bits(3);
    if (sub_layers > 6) return std::nullopt;
    bits.skip(1);  // sps_temporal_id_nesting_flag
    VideoFormat f;
    read_profile(bits, sub_layers, f);
    bits.ue();  // sps_seq_parameter_set_id
    const unsigned chroma = bits.ue();
    if (chroma == 3) bits.skip(1);
    f.width = bits.ue();
    f.height = bits.ue();
    if (bits.flag()) {
        const Window out = read_window(bits, chroma);
        f.width = out.across < f.width ? f.width - out.across : 0;
        f.height = out.down < f.height ? f.height - out.down : 0;
    }
    if (!bits.ok() || chroma > 3 || f.width == 0 || f.height == 0 || f.width > 16384 || f.height > 16384)
        return std::nullopt;
    if (skip_coding_tools(bits, sub_layers) && bits.flag()) read_usability(bits, f);
    return f;
}

}  // namespace

std::optional<VideoFormat> find_hevc(ByteView bytes) {
    while (const auto unit = after_start_code(bytes)) {
        bytes = *unit;
        if (unit->size() < 2 || ((read_u8(*unit, 0) >> 1) & 0x3FU) != 33) continue;  // nal_unit_type
        const UnitPayload payload(unit->subspan(2));
        if (!payload.whole()) return std::nullopt;
        if (const auto format = parse_sequence_parameter_set(payload.bytes())) return format;
    }
    return std::nullopt;
}

}  // namespace mastline
