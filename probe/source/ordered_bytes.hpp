// SPDX-License-Identifier: Apache-2.0
// Numbers in the byte order of the machine that wrote a capture.
#pragma once

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

enum class ByteOrder : std::uint8_t { big, little };

// REQUIRES (both): at + width <= bytes.size()
constexpr std::uint16_t read_u16(ByteView bytes, std::size_t at, ByteOrder order) {
    const std::uint16_t big = read_u16(bytes, at);
    return order == ByteOrder::big ? big : static_cast<std::uint16_t>((big << 8) | (big >> 8));
}
constexpr std::uint32_t read_u32(ByteView bytes, std::size_t at, ByteOrder order) {
    if (order == ByteOrder::big) return read_u32(bytes, at);
    return (std::uint32_t{read_u16(bytes, at + 2, order)} << 16) | read_u16(bytes, at, order);
}
constexpr std::uint64_t read_u64(ByteView bytes, std::size_t at, ByteOrder order) {
    if (order == ByteOrder::big) return read_u64(bytes, at);
    return (std::uint64_t{read_u32(bytes, at + 4, order)} << 32) | read_u32(bytes, at, order);
}

}  // namespace mastline
