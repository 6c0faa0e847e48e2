// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>

#include "aac_config.hpp"
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

// ID of 11172-3 with the bit in front that MPEG-2.5 takes from the syncword (common practice: quarter rates).
enum class MpegRates : std::uint8_t { quarter, reserved, half, full };
MpegRates mpeg_rates(std::uint32_t h) { return static_cast<MpegRates>((h >> 19) & 3U); }

// syncword 11 | rates 2 | layer 2 | protection_bit 1 | bitrate_index 4 | sampling_frequency 2 |
// padding 1 | private 1 | mode 2 ...
std::optional<AudioFormat> mpeg_frame(std::uint32_t h) {
    const MpegRates rates = mpeg_rates(h);
    if ((h >> 21) != 0x7FF || rates == MpegRates::reserved) return std::nullopt;
    const unsigned layer = 4U - ((h >> 17) & 3U);
    const unsigned rate_index = (h >> 12) & 15U;
    const int sample_rate = kMpegSampleRates[(h >> 10) & 3U];
    if (layer == 4 || rate_index == 15 || sample_rate == 0) return std::nullopt;
    static constexpr std::array<const char*, 4> names{"", "Layer I", "Layer II", "Layer III"};
    const bool full = rates == MpegRates::full;
    const int rate = kMpegRates[full ? layer - 1 : layer == 1 ? 3 : 4][rate_index];
    AudioFormat f{.profile = names[layer],
                  .sample_rate = Frequency(sample_rate / (full ? 1 : rates == MpegRates::half ? 2 : 4)),
                  .channels = ((h >> 6) & 3U) == 3 ? 1U : 2U};
    if (rate > 0) f.rate = BitRate(rate * 1000);
    return f;
}

std::size_t mpeg_frame_size(std::uint32_t h, const AudioFormat& f) {
    if (!f.rate) return 0;
    const unsigned layer = 4U - ((h >> 17) & 3U);
    const bool full_rate = mpeg_rates(h) == MpegRates::full;
    const auto padding = static_cast<std::int64_t>((h >> 9) & 1U);
    const std::int64_t rate = f.rate->bits_per_second(), hertz = f.sample_rate.hertz();
    if (layer == 1) return static_cast<std::size_t>((12 * rate / hertz + padding) * 4);
    return static_cast<std::size_t>((layer == 3 && !full_rate ? 72 : 144) * rate / hertz + padding);
}

// syncword 12 | ID 1 | layer 2 = 0 | protection_absent 1 | profile 2 | sampling_frequency_index 4 |
// private 1 | channel_configuration 3 | original 1 | home 1 | copyright 2 | frame_length 13 |
// buffer_fullness 11 | blocks 2 | [crc 16] | raw_data_block
std::optional<AudioFormat> adts_frame(ByteView b) {
    if ((read_u16(b, 0) & 0xFFF6U) != 0xFFF0U) return std::nullopt;
    static constexpr std::array<const char*, 4> profiles{"Main", "LC", "SSR", "LTP"};
    const std::uint16_t word = read_u16(b, 2);
    const int rate = aac_sample_rate((word >> 10) & 15U);
    if (rate == 0) return std::nullopt;
    const unsigned configuration = (word >> 6) & 7U;
    std::uint32_t channels = aac_channels(configuration);
    if (configuration == 0) {  // the first element of the block says it: 5 is a program_config_element
        const std::size_t head = (read_u8(b, 1) & 1U) != 0 ? 7 : 9;
        BitReader bits(b.subspan(std::min(head, b.size())));
        if (bits.bits(3) == 5) channels = program_config_channels(bits);
    }
    return AudioFormat{.profile = profiles[word >> 14], .sample_rate = Frequency(rate), .channels = channels};
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
