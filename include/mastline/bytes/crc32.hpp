// SPDX-License-Identifier: Apache-2.0
// CRC-32/MPEG-2 of ISO/IEC 13818-1 Annex A: polynomial 0x04C11DB7, initial value all ones, not
// reflected, no final exclusive-or. Over a section that ends with its CRC_32 the result is 0.
#pragma once

#include <array>
#include <cstdint>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

namespace detail {
constexpr std::array<std::uint32_t, 256> crc32_table() {
    std::array<std::uint32_t, 256> table{};
    for (std::uint32_t i = 0; i < 256; ++i) {
        std::uint32_t c = i << 24;
        for (int bit = 0; bit < 8; ++bit)
            c = (c & 0x80000000U) != 0 ? (c << 1) ^ 0x04C11DB7U : c << 1;
        table[i] = c;
    }
    return table;
}
}  // namespace detail

constexpr std::uint32_t crc32_mpeg2(ByteView bytes) {
    constexpr auto table = detail::crc32_table();
    std::uint32_t c = 0xFFFFFFFFU;
    for (const std::byte b : bytes)
        c = (c << 8) ^ table[(c >> 24) ^ std::to_integer<std::uint32_t>(b)];
    return c;
}

}  // namespace mastline
