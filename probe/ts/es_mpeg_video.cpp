// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "bit_reader.hpp"
#include "mastline/ts/es_header.hpp"
#include "start_codes.hpp"

namespace mastline {

namespace {

// frame_rate_code, ISO/IEC 13818-2 table 6-4.
constexpr std::array<FrameRate, 9> kFrameRates{{{0, 1}, {24000, 1001}, {24, 1}, {25, 1}, {30000, 1001},
                                                {30, 1}, {50, 1}, {60000, 1001}, {60, 1}}};

// profile_and_level_indication, ISO/IEC 13818-2 tables 8-2 and 8-3.
std::string mpeg_profile_name(unsigned indication) {
    static constexpr std::array<const char*, 8> names{"", "High", "Spatially Scalable", "SNR Scalable",
                                                      "Main", "Simple", "", ""};
    if ((indication & 0x80U) != 0) return (indication & 0x0FU) == 0x05 || (indication & 0x0FU) == 0x02
                                              ? "4:2:2" : "Multi-view";
    return names[(indication >> 4) & 7U];
}
std::string mpeg_level_name(unsigned indication) {
    if ((indication & 0x80U) != 0) return indication == 0x82 ? "High" : indication == 0x85 ? "Main" : "";
    switch (indication & 0x0FU) {
        case 4: return "High";
        case 6: return "High 1440";
        case 8: return "Main";
        case 10: return "Low";
        default: return "";
    }
}

void apply_extension(BitReader bits, VideoFormat& format) {
    const unsigned indication = bits.bits(8);
    const bool progressive = bits.flag();
    bits.skip(2);  // chroma_format
    const std::uint32_t width = bits.bits(2), height = bits.bits(2);
    bits.skip(12 + 1 + 8 + 1);  // bit_rate_extension, marker, vbv_buffer_size_extension, low_delay
    const std::uint32_t n = bits.bits(2), d = bits.bits(5);
    if (!bits.ok()) return;
    format.profile = mpeg_profile_name(indication);
    format.level = mpeg_level_name(indication);
    format.interlaced = !progressive;
    format.width |= width << 12;
    format.height |= height << 12;
    if (format.frame_rate) {
        format.frame_rate->numerator *= n + 1;
        format.frame_rate->denominator *= d + 1;
    }
}

}  // namespace

std::optional<VideoFormat> find_mpeg_video(ByteView bytes) {
    std::optional<VideoFormat> format;
    while (const auto unit = after_start_code(bytes)) {
        bytes = *unit;
        const std::uint8_t code = read_u8(*unit, 0);
        BitReader bits(unit->subspan(1));
        if (code == 0xB3 && !format) {
            VideoFormat f{.width = bits.bits(12), .height = bits.bits(12)};
            bits.skip(4);  // aspect_ratio_information
            const unsigned rate = bits.bits(4);
            if (rate > 0 && rate < kFrameRates.size()) f.frame_rate = kFrameRates[rate];
            if (bits.ok() && f.width > 0 && f.height > 0) format = f;
        } else if (code == 0xB5 && format && bits.bits(4) == 1) {
            apply_extension(bits, *format);
            return format;
        } else if (format && (code == 0xB8 || code == 0x00)) {
            return format;  // no extension in front of the first group or picture: MPEG-1
        }
    }
    return std::nullopt;
}

}  // namespace mastline
