// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "mastline/ts/es_header.hpp"

namespace mastline {

namespace {

// kbit/s by bitrate_index, ISO/IEC 11172-3 2.4.2.3 and 13818-3 2.4.2.3 (the last two rows).
constexpr std::array<std::array<int, 16>, 5> kMpegRates{{
    {0, 32, 64, 96, 128, 160, 192, 224, 256, 288, 320, 352, 384, 416, 448, 0},
    {0, 32, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320, 384, 0},
    {0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320, 0},
    {0, 32, 48, 56, 64, 80, 96, 112, 128, 144, 160, 176, 192, 224, 256, 0},
    {0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160, 0},
}};
constexpr std::array<int, 4> kMpegSampleRates{44100, 48000, 32000, 0};

// sampling_frequency_index, ISO/IEC 14496-3 table 1.18.
constexpr std::array<int, 16> kAacRates{96000, 88200, 64000, 48000, 44100, 32000, 24000, 22050,
                                        16000, 12000, 11025, 8000,  7350,  0,     0,     0};

// syncword 12 (11 for the unofficial lowest rates, which broadcast never uses) | ID 1 | layer 2 |
// protection_bit 1 | bitrate_index 4 | sampling_frequency 2 | padding 1 | private 1 | mode 2 ...
std::optional<AudioFormat> mpeg_frame(std::uint32_t h) {
    if ((h >> 20) != 0xFFF) return std::nullopt;
    const bool full_rate = (h & 0x80000U) != 0;
    const unsigned layer = 4U - ((h >> 17) & 3U);
    const unsigned rate_index = (h >> 12) & 15U;
    const int sample_rate = kMpegSampleRates[(h >> 10) & 3U];
    if (layer == 4 || rate_index == 15 || sample_rate == 0) return std::nullopt;
    static constexpr std::array<const char*, 4> names{"", "Layer I", "Layer II", "Layer III"};
    const int rate = kMpegRates[full_rate ? layer - 1 : layer == 1 ? 3 : 4][rate_index];
    AudioFormat f{.profile = names[layer],
                  .sample_rate = Frequency(full_rate ? sample_rate : sample_rate / 2),
                  .channels = ((h >> 6) & 3U) == 3 ? 1U : 2U};
    if (rate > 0) f.rate = BitRate(rate * 1000);
    return f;
}

std::size_t mpeg_frame_size(std::uint32_t h, const AudioFormat& f) {
    if (!f.rate) return 0;
    const unsigned layer = 4U - ((h >> 17) & 3U);
    const bool full_rate = (h & 0x80000U) != 0;
    const auto padding = static_cast<std::int64_t>((h >> 9) & 1U);
    const std::int64_t rate = f.rate->bits_per_second(), hertz = f.sample_rate.hertz();
    if (layer == 1) return static_cast<std::size_t>((12 * rate / hertz + padding) * 4);
    return static_cast<std::size_t>((layer == 3 && !full_rate ? 72 : 144) * rate / hertz + padding);
}

// syncword 12 | ID 1 | layer 2 = 0 | protection_absent 1 | profile 2 | sampling_frequency_index 4 |
// private 1 | channel_configuration 3 | original 1 | home 1 | copyright 2 | frame_length 13 ...
std::optional<AudioFormat> adts_frame(ByteView b) {
    if ((read_u16(b, 0) & 0xFFF6U) != 0xFFF0U) return std::nullopt;
    static constexpr std::array<const char*, 4> profiles{"Main", "LC", "SSR", "LTP"};
    static constexpr std::array<std::uint32_t, 8> channels{0, 1, 2, 3, 4, 5, 6, 8};
    const std::uint16_t word = read_u16(b, 2);
    const int rate = kAacRates[(word >> 10) & 15U];
    if (rate == 0) return std::nullopt;
    return AudioFormat{.profile = profiles[word >> 14],
                       .sample_rate = Frequency(rate),
                       .channels = channels[(word >> 6) & 7U]};
}

std::size_t adts_frame_size(ByteView b) { return (read_u32(b, 3) >> 13) & 0x1FFFU; }

}  // namespace

// A header counts when it stands at the beginning, or when the next one follows where its frame
// ends: sound can look like a syncword.
std::optional<AudioFormat> find_mpeg_audio(ByteView bytes) {
    for (std::size_t i = 0; i + 4 <= bytes.size(); ++i) {
        const std::uint32_t h = read_u32(bytes, i);
        const auto format = mpeg_frame(h);
        if (!format) continue;
        const std::size_t next = i + mpeg_frame_size(h, *format);
        if (i == 0 || (next > i && next + 4 <= bytes.size() && mpeg_frame(read_u32(bytes, next))))
            return format;
    }
    return std::nullopt;
}

std::optional<AudioFormat> find_adts(ByteView bytes) {
    for (std::size_t i = 0; i + 7 <= bytes.size(); ++i) {
        const auto format = adts_frame(bytes.subspan(i));
        if (!format) continue;
        const std::size_t next = i + adts_frame_size(bytes.subspan(i));
        if (i == 0 || (next > i && next + 7 <= bytes.size() && adts_frame(bytes.subspan(next))))
            return format;
    }
    return std::nullopt;
}

}  // namespace mastline
