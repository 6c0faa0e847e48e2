// SPDX-License-Identifier: Apache-2.0
// Big-endian numbers into bytes: the counterpart of bytes/byte_reader.hpp.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

using ByteSpan = std::span<std::byte>;

// REQUIRES (both): at + width <= bytes.size()
constexpr void write_u8(ByteSpan bytes, std::size_t at, unsigned value) {
    bytes[at] = static_cast<std::byte>(value & 0xFFU);
}
constexpr void write_u16(ByteSpan bytes, std::size_t at, unsigned value) {
    write_u8(bytes, at, value >> 8);
    write_u8(bytes, at + 1, value);
}
constexpr void write_u32(ByteSpan bytes, std::size_t at, std::uint32_t value) {
    write_u16(bytes, at, value >> 16);
    write_u16(bytes, at + 2, value & 0xFFFFU);
}

// Bytes that grow as they are written: sections and descriptors, made once per stream.
class ByteWriter {
public:
    ByteWriter& u8(unsigned value) {
        bytes_.push_back(static_cast<std::byte>(value & 0xFFU));
        return *this;
    }
    ByteWriter& u16(unsigned value) { return u8(value >> 8).u8(value); }
    ByteWriter& u32(std::uint32_t value) { return u16(value >> 16).u16(value & 0xFFFFU); }
    ByteWriter& text(std::string_view text) {
        for (const char c : text) u8(static_cast<unsigned char>(c));
        return *this;
    }
    ByteWriter& append(ByteView bytes) {
        bytes_.insert(bytes_.end(), bytes.begin(), bytes.end());
        return *this;
    }
    std::size_t size() const { return bytes_.size(); }
    ByteView view() const { return bytes_; }
    std::vector<std::byte> take() && { return std::move(bytes_); }

private:
    std::vector<std::byte> bytes_;
};

}  // namespace mastline
