// SPDX-License-Identifier: Apache-2.0
// Big-endian numbers out of bytes, built by shift: no casts, no alignment, no host byte order.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

namespace mastline {

using ByteView = std::span<const std::byte>;

// REQUIRES (all four): at + width <= bytes.size()
constexpr std::uint8_t read_u8(ByteView bytes, std::size_t at) {
    return std::to_integer<std::uint8_t>(bytes[at]);
}
constexpr std::uint16_t read_u16(ByteView bytes, std::size_t at) {
    return static_cast<std::uint16_t>((read_u8(bytes, at) << 8) | read_u8(bytes, at + 1));
}
constexpr std::uint32_t read_u32(ByteView bytes, std::size_t at) {
    return (std::uint32_t{read_u16(bytes, at)} << 16) | read_u16(bytes, at + 2);
}
constexpr std::uint64_t read_u64(ByteView bytes, std::size_t at) {
    return (std::uint64_t{read_u32(bytes, at)} << 32) | read_u32(bytes, at + 4);
}

}  // namespace mastline
