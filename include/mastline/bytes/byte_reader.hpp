// SPDX-License-Identifier: Apache-2.0
// Big-endian numbers out of bytes, whatever their alignment and the byte order of the machine.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <span>
#include <type_traits>

namespace mastline {

using ByteView = std::span<const std::byte>;

namespace detail {

// One load and one swap: compilers do not always find these in eight shifts.
template <class Word>
Word loaded_big_endian(const std::byte* from) {
    Word word = 0;
    std::memcpy(&word, from, sizeof word);
    if constexpr (std::endian::native == std::endian::big) return word;
    else if constexpr (sizeof word == 8) return __builtin_bswap64(word);
    else if constexpr (sizeof word == 4) return __builtin_bswap32(word);
    else return __builtin_bswap16(word);
}

}  // namespace detail

// REQUIRES (all four): at + width <= bytes.size()
constexpr std::uint8_t read_u8(ByteView bytes, std::size_t at) {
    return std::to_integer<std::uint8_t>(bytes[at]);
}
constexpr std::uint16_t read_u16(ByteView bytes, std::size_t at) {
    if (!std::is_constant_evaluated()) return detail::loaded_big_endian<std::uint16_t>(bytes.data() + at);
    return static_cast<std::uint16_t>((read_u8(bytes, at) << 8) | read_u8(bytes, at + 1));
}
constexpr std::uint32_t read_u32(ByteView bytes, std::size_t at) {
    if (!std::is_constant_evaluated()) return detail::loaded_big_endian<std::uint32_t>(bytes.data() + at);
    return (std::uint32_t{read_u16(bytes, at)} << 16) | read_u16(bytes, at + 2);
}
constexpr std::uint64_t read_u64(ByteView bytes, std::size_t at) {
    if (!std::is_constant_evaluated()) return detail::loaded_big_endian<std::uint64_t>(bytes.data() + at);
    return (std::uint64_t{read_u32(bytes, at)} << 32) | read_u32(bytes, at + 4);
}

}  // namespace mastline
