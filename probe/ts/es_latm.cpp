// SPDX-License-Identifier: Apache-2.0
// AAC in LATM, framed by LOAS (ISO/IEC 14496-3, 1.7.2 and 1.7.3):
//
//   syncword 11 = 0x2B7 | audioMuxLengthBytes 13 | useSameStreamMux 1 | [StreamMuxConfig] ...
#include "aac_config.hpp"
#include "mastline/ts/es_header.hpp"

namespace mastline {

namespace {

std::uint32_t latm_value(BitReader& bits) {
    const unsigned bytes = bits.bits(2) + 1;
    return bits.bits(8 * bytes);
}

// Of the first layer of the first programme: broadcasts have no other.
std::optional<AudioFormat> stream_mux_config(BitReader bits) {
    if (bits.flag()) return std::nullopt;  // useSameStreamMux: the one before holds
    const bool second_version = bits.flag();
    if (second_version && bits.flag()) return std::nullopt;  // audioMuxVersionA: reserved
    if (second_version) latm_value(bits);                    // taraBufferFullness
    bits.skip(1 + 6 + 4 + 3);  // allStreamsSameTimeFraming, numSubFrames, numProgram, numLayer
    if (second_version) latm_value(bits);                    // ascLen
    return audio_specific_config(bits);
}

}  // namespace

std::optional<AudioFormat> find_latm(ByteView bytes) {
    for (std::size_t i = 0; i + 4 <= bytes.size(); ++i) {
        if ((read_u16(bytes, i) & 0xFFE0U) != 0x56E0U) continue;
        const std::size_t next = i + 3 + (read_u16(bytes, i + 1) & 0x1FFFU);
        const bool followed = next + 2 <= bytes.size() && (read_u16(bytes, next) & 0xFFE0U) == 0x56E0U;
        if (i != 0 && !followed) continue;
        if (const auto format = stream_mux_config(BitReader(bytes.subspan(i + 3)))) return format;
    }
    return std::nullopt;
}

}  // namespace mastline
