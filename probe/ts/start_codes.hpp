// SPDX-License-Identifier: Apache-2.0
// Byte stream start codes (00 00 01) and the payload of a network abstraction layer unit.
#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

// The bytes behind the first start code at or after the beginning; none: no start code.
inline std::optional<ByteView> after_start_code(ByteView bytes) {
    for (std::size_t i = 0; i + 3 < bytes.size();) {
        const std::uint8_t third = read_u8(bytes, i + 2);
        if (third == 1 && read_u8(bytes, i) == 0 && read_u8(bytes, i + 1) == 0) return bytes.subspan(i + 3);
        i += third == 0 ? 1 : 3;  // a byte that is not 0 is none of the zeros of a later one
    }
    return std::nullopt;
}

// A unit's bytes up to the next start code, emulation prevention (00 00 03) taken out
// (ISO/IEC 14496-10, 7.3.1; 23008-2, 7.3.1.1). Longer than any parameter set we read: cut there.
class UnitPayload {
public:
    explicit UnitPayload(ByteView unit) {
        unsigned zeros = 0;
        for (std::size_t i = 0; i < unit.size() && size_ < held_.size(); ++i) {
            const std::uint8_t b = read_u8(unit, i);
            if (zeros >= 2 && b == 1) {  // next start code: the zeros in front are not ours
                whole_ = true;
                break;
            }
            if (zeros >= 2 && b == 3) {
                zeros = 0;
                continue;
            }
            zeros = b == 0 ? zeros + 1 : 0;
            held_[size_++] = static_cast<std::byte>(b);
        }
    }
    ByteView bytes() const { return ByteView(held_).first(size_); }
    bool whole() const { return whole_; }  // a start code followed

private:
    std::array<std::byte, 1024> held_{};
    std::size_t size_ = 0;
    bool whole_ = false;
};

}  // namespace mastline
