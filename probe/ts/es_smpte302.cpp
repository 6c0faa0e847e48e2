// SPDX-License-Identifier: Apache-2.0
// SMPTE ST 302: audio_packet_size 16 | number_channels 2 | channel_identification 8 | bits_per_sample 2 |
// alignment 4, then samples at 48 kHz.
#include "mastline/ts/es_header.hpp"

namespace mastline {

std::optional<AudioFormat> find_smpte302(ByteView bytes) {
    constexpr std::int64_t hertz = 48'000;
    if (bytes.size() < 4) return std::nullopt;
    const std::uint16_t word = read_u16(bytes, 2);
    const unsigned size_code = (word >> 4) & 3U;
    if (size_code == 3) return std::nullopt;
    const std::uint32_t channels = (2U + 2U * (word >> 14)), sample_bits = 16 + 4 * size_code;
    return AudioFormat{.profile = "PCM " + std::to_string(sample_bits) + " bit",
                       .sample_rate = Frequency(hertz),
                       .channels = channels,
                       .rate = BitRate(hertz * channels * sample_bits)};
}

}  // namespace mastline
