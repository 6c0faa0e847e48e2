// SPDX-License-Identifier: Apache-2.0
// Bits, most significant first, and the Exp-Golomb codes of ISO/IEC 14496-10, 9.1.
#pragma once

#include <cstddef>
#include <cstdint>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

// Reading beyond the end gives zeros and makes ok() false: check once, after the last field.
class BitReader {
public:
    explicit BitReader(ByteView bytes) : bytes_(bytes) {}

    // REQUIRES: count <= 32
    std::uint32_t bits(unsigned count) {
        std::uint32_t value = 0;
        for (unsigned i = 0; i < count; ++i) value = (value << 1) | next();
        return value;
    }
    bool flag() { return next() != 0; }
    void skip(std::size_t count) { at_ += count; }
    std::uint32_t ue() {
        unsigned zeros = 0;
        while (zeros < 32 && ok() && next() == 0) ++zeros;
        if (zeros >= 32) return broken_ = true, 0;
        return ((1U << zeros) - 1U) + bits(zeros);
    }
    std::int32_t se() {
        const std::uint32_t code = ue();
        const auto magnitude = static_cast<std::int32_t>((code + 1) / 2);
        return (code & 1U) != 0 ? magnitude : -magnitude;
    }
    bool ok() const { return !broken_ && at_ <= bytes_.size() * 8; }

private:
    std::uint32_t next() {
        const std::size_t byte = at_ / 8;
        const unsigned shift = 7U - static_cast<unsigned>(at_ % 8);
        ++at_;
        return byte < bytes_.size() ? (read_u8(bytes_, byte) >> shift) & 1U : 0U;
    }

    ByteView bytes_;
    std::size_t at_ = 0;
    bool broken_ = false;
};

}  // namespace mastline
