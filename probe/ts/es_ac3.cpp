// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "bit_reader.hpp"
#include "mastline/ts/es_header.hpp"

namespace mastline {

namespace {

constexpr std::array<int, 4> kSampleRates{48000, 44100, 32000, 0};
// kbit/s by frmsizecod / 2, ETSI TS 102 366 table 4.13.
constexpr std::array<int, 19> kRates{32,  40,  48,  56,  64,  80,  96,  112, 128, 160,
                                     192, 224, 256, 320, 384, 448, 512, 576, 640};
// full channels by acmod, table 4.3
constexpr std::array<std::uint32_t, 8> kChannels{2, 1, 2, 3, 3, 4, 4, 5};

// fscod 2 | frmsizecod 6 | bsid 5 | bsmod 3 | acmod 3 | mix levels | lfeon 1, behind 32 bits
std::optional<AudioFormat> ac3_frame(BitReader bits) {
    bits.skip(16);  // crc1
    const int rate = kSampleRates[bits.bits(2)];
    const unsigned size = bits.bits(6);
    bits.skip(5 + 3);
    const unsigned mode = bits.bits(3);
    if ((mode & 1U) != 0 && mode != 1) bits.skip(2);
    if ((mode & 4U) != 0) bits.skip(2);
    if (mode == 2) bits.skip(2);
    const bool low = bits.flag();
    if (!bits.ok() || rate == 0 || size / 2 >= kRates.size()) return std::nullopt;
    return AudioFormat{.profile = "AC-3",
                       .sample_rate = Frequency(rate),
                       .channels = kChannels[mode] + (low ? 1U : 0U),
                       .rate = BitRate(kRates[size / 2] * 1000)};
}

// strmtyp 2 | substreamid 3 | frmsiz 11 | fscod 2 | fscod2 or numblkscod 2 | acmod 3 | lfeon 1
std::optional<AudioFormat> enhanced_frame(BitReader bits) {
    bits.skip(2 + 3);
    const std::int64_t bytes = (std::int64_t{bits.bits(11)} + 1) * 2;
    const unsigned code = bits.bits(2), second = bits.bits(2);
    const int rate = code == 3 ? kSampleRates[second] / 2 : kSampleRates[code];
    static constexpr std::array<int, 4> blocks{1, 2, 3, 6};
    const int samples = 256 * (code == 3 ? 6 : blocks[second]);
    const unsigned mode = bits.bits(3);
    const bool low = bits.flag();
    if (!bits.ok() || rate == 0) return std::nullopt;
    return AudioFormat{.profile = "E-AC-3",
                       .sample_rate = Frequency(rate),
                       .channels = kChannels[mode] + (low ? 1U : 0U),
                       .rate = BitRate(bytes * 8 * rate / samples)};
}

}  // namespace

std::optional<AudioFormat> find_ac3(ByteView bytes) {
    for (std::size_t i = 0; i + 8 <= bytes.size(); ++i) {
        if (read_u16(bytes, i) != 0x0B77) continue;
        const unsigned bsid = read_u8(bytes, i + 5) >> 3;
        const BitReader bits(bytes.subspan(i + 2));
        const auto format = bsid <= 10 ? ac3_frame(bits) : bsid <= 16 ? enhanced_frame(bits) : std::nullopt;
        if (format) return format;
    }
    return std::nullopt;
}

}  // namespace mastline
