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

// Channels by the bits of chanmap, most significant first: left, centre, right, left surround, right
// surround, pairs or single ones beyond, low frequencies twice (TS 102 366 table E.5).
constexpr std::array<std::uint32_t, 16> kMapped{1, 1, 1, 1, 1, 2, 2, 1, 1, 2, 2, 2, 1, 2, 1, 1};
// chanmap of an acmod without one (table E.1.3.1.8 default), low frequencies left out.
constexpr std::array<unsigned, 8> kOwnMap{0xA000, 0x4000, 0xA000, 0xE000, 0xA100, 0xE100, 0xB800, 0xF800};

struct EnhancedFrame {
    bool dependent = false;
    std::size_t bytes = 0;
    int sample_rate = 0, samples = 0;
    unsigned map = 0;  // of channels
};

// strmtyp 2 | substreamid 3 | frmsiz 11 | fscod 2 | fscod2 or numblkscod 2 | acmod 3 | lfeon 1 | bsid 5 |
// dialnorm 5 | compre 1 | [compr 8] | [the same of the second channel] | [chanmape 1 | [chanmap 16]] ...
std::optional<EnhancedFrame> enhanced_frame(BitReader bits) {
    EnhancedFrame f;
    const unsigned type = bits.bits(2);
    f.dependent = type == 1;
    bits.skip(3);
    f.bytes = (std::size_t{bits.bits(11)} + 1) * 2;
    const unsigned code = bits.bits(2), second = bits.bits(2);
    f.sample_rate = code == 3 ? kSampleRates[second] / 2 : kSampleRates[code];
    static constexpr std::array<int, 4> blocks{1, 2, 3, 6};
    f.samples = 256 * (code == 3 ? 6 : blocks[second]);
    const unsigned mode = bits.bits(3);
    f.map = kOwnMap[mode] | (bits.flag() ? 1U : 0U);
    if (!bits.ok() || f.sample_rate == 0 || type == 3) return std::nullopt;
    if (!f.dependent) return f;
    bits.skip(5 + 5);
    if (bits.flag()) bits.skip(8);
    if (mode == 0) {
        bits.skip(5);
        if (bits.flag()) bits.skip(8);
    }
    if (bits.flag()) f.map = bits.bits(16);
    return bits.ok() ? std::optional(f) : std::nullopt;
}

// An independent frame and the dependent ones behind it, which add channels.
std::optional<AudioFormat> enhanced_audio(ByteView bytes, std::size_t at, bool more) {
    const auto first = enhanced_frame(BitReader(bytes.subspan(at + 2)));
    if (!first || first->dependent) return std::nullopt;
    unsigned map = first->map;
    std::size_t size = first->bytes;
    while (at + size + 8 <= bytes.size() && read_u16(bytes, at + size) == 0x0B77) {
        const auto next = enhanced_frame(BitReader(bytes.subspan(at + size + 2)));
        if (!next || !next->dependent) break;
        map |= next->map;
        size += next->bytes;
    }
    if (more && at + size + 8 > bytes.size()) return std::nullopt;
    std::uint32_t channels = 0;
    for (unsigned i = 0; i < kMapped.size(); ++i)
        if ((map >> (15 - i) & 1U) != 0) channels += kMapped[i];
    return AudioFormat{.profile = "E-AC-3",
                       .sample_rate = Frequency(first->sample_rate),
                       .channels = channels,
                       .rate = BitRate(static_cast<std::int64_t>(size) * 8 * first->sample_rate / first->samples)};
}

}  // namespace

std::optional<AudioFormat> find_ac3(ByteView bytes, bool more) {
    for (std::size_t i = 0; i + 8 <= bytes.size(); ++i) {
        if (read_u16(bytes, i) != 0x0B77) continue;
        const unsigned bsid = read_u8(bytes, i + 5) >> 3;
        const auto format = bsid <= 10 ? ac3_frame(BitReader(bytes.subspan(i + 2)))
                            : bsid <= 16 ? enhanced_audio(bytes, i, more) : std::nullopt;
        if (format) return format;
    }
    return std::nullopt;
}

}  // namespace mastline
