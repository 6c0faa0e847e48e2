// SPDX-License-Identifier: Apache-2.0
// CRC-32/MPEG-2 of ISO/IEC 13818-1 Annex A: polynomial 0x04C11DB7, initial value all ones, not
// reflected, no final exclusive-or. Over a section that ends with its CRC_32 the result is 0.
#pragma once

#include <array>
#include <cstdint>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

namespace detail {

// tables[k][b]: what byte b leaves in the register when k more bytes of zero have followed it.
using Crc32Tables = std::array<std::array<std::uint32_t, 256>, 8>;

constexpr Crc32Tables crc32_tables() {
    Crc32Tables tables{};
    for (std::uint32_t i = 0; i < 256; ++i) {
        std::uint32_t c = i << 24;
        for (int bit = 0; bit < 8; ++bit)
            c = (c & 0x80000000U) != 0 ? (c << 1) ^ 0x04C11DB7U : c << 1;
        tables[0][i] = c;
    }
    for (std::size_t k = 1; k < tables.size(); ++k)
        for (std::size_t i = 0; i < 256; ++i) {
            const std::uint32_t before = tables[k - 1][i];
            tables[k][i] = (before << 8) ^ tables[0][before >> 24];
        }
    return tables;
}

inline constexpr Crc32Tables kCrc32Tables = crc32_tables();

}  // namespace detail

// Eight bytes at a step: the sum over a message is the exclusive-or of what each byte leaves alone.
constexpr std::uint32_t crc32_mpeg2(ByteView bytes) {
    const auto& t = detail::kCrc32Tables;
    std::uint32_t c = 0xFFFFFFFFU;
    std::size_t at = 0;
    for (; bytes.size() - at >= 8; at += 8) {
        const std::uint32_t a = c ^ read_u32(bytes, at);
        const std::uint32_t b = read_u32(bytes, at + 4);
        c = t[7][a >> 24] ^ t[6][(a >> 16) & 0xFFU] ^ t[5][(a >> 8) & 0xFFU] ^ t[4][a & 0xFFU] ^
            t[3][b >> 24] ^ t[2][(b >> 16) & 0xFFU] ^ t[1][(b >> 8) & 0xFFU] ^ t[0][b & 0xFFU];
    }
    for (; at < bytes.size(); ++at) c = (c << 8) ^ t[0][(c >> 24) ^ read_u8(bytes, at)];
    return c;
}

}  // namespace mastline
