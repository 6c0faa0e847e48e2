// SPDX-License-Identifier: Apache-2.0
// The core frame of ETSI TS 102 114, 5.3: SYNC 32 | FTYPE 1 | SHORT 5 | CPF 1 | NBLKS 7 | FSIZE 14 |
// AMODE 6 | SFREQ 4 | RATE 5 | four flags | HDCD 1 | EXT_AUDIO_ID 3 | EXT_AUDIO 1 | ASPF 1 | LFF 2 ...
#include <array>

#include "bit_reader.hpp"
#include "mastline/ts/es_header.hpp"

namespace mastline {

namespace {

constexpr std::uint32_t kCoreSync = 0x7FFE8001;

std::optional<AudioFormat> core_frame(BitReader bits) {
    // tables 5-4 and 5-5
    static constexpr std::array<std::uint32_t, 16> channels{1, 2, 2, 2, 2, 3, 3, 4, 4, 5, 6, 6, 6, 7, 8, 8};
    static constexpr std::array<int, 16> rates{0, 8000,  16000, 32000, 0,     0,     11025, 22050,
                                               44100, 0, 0,     12000, 24000, 48000, 0,     0};
    bits.skip(1 + 5 + 1 + 7);
    const unsigned size = bits.bits(14) + 1, arrangement = bits.bits(6);
    const int rate = rates[bits.bits(4)];
    bits.skip(5 + 4 + 1 + 3 + 1 + 1);
    const unsigned low = bits.bits(2);
    if (!bits.ok() || size < 96 || rate == 0 || arrangement >= channels.size() || low == 3) return std::nullopt;
    return AudioFormat{.profile = "DTS", .sample_rate = Frequency(rate), .channels = channels[arrangement] + (low != 0 ? 1U : 0U)};
}

}  // namespace

std::optional<AudioFormat> find_dts(ByteView bytes) {
    for (std::size_t i = 0; i + 12 <= bytes.size(); ++i)
        if (read_u32(bytes, i) == kCoreSync)
            if (const auto format = core_frame(BitReader(bytes.subspan(i + 4)))) return format;
    return std::nullopt;
}

}  // namespace mastline
