// SPDX-License-Identifier: Apache-2.0
// What the fields of a membership query can say of a time: beyond some value only few of its bits.
#pragma once

#include <algorithm>
#include <bit>
#include <cstdint>

#include "mastline/units/ticks.hpp"

namespace mastline {

// A time field of a query.
struct QueryField {
    Duration unit;
    std::uint64_t exact;  // counts up to this stand as they are
    int bits;             // of a greater count these leading ones are kept
    std::uint64_t most;
};

// RFC 2236 section 2.2.
inline constexpr QueryField kIgmp2Response{std::chrono::milliseconds(100), 255, 8, 255};
// RFC 3376 section 4.1.1: (mant | 0x10) << (exp + 3).
inline constexpr QueryField kIgmp3Response{std::chrono::milliseconds(100), 127, 5, 31 << 10};
// RFC 3376 section 4.1.7, RFC 3810 section 5.1.9. Version 2 of IGMP and version 1 of MLD do not tell it.
inline constexpr QueryField kQueryInterval{std::chrono::seconds(1), 127, 5, 31 << 10};
// RFC 2710 section 3.4.
inline constexpr QueryField kMld1Response{std::chrono::milliseconds(1), 65535, 16, 65535};
// RFC 3810 section 5.1.3: (mant | 0x1000) << (exp + 3).
inline constexpr QueryField kMld2Response{std::chrono::milliseconds(1), 32767, 13, 0x1FFF << 10};

// The greatest time that the field can say and that is not above `time`. REQUIRES: time is not negative
constexpr Duration said_by(const QueryField& field, Duration time) {
    const auto count = std::min(static_cast<std::uint64_t>(time / field.unit), field.most);
    const int dropped = count <= field.exact ? 0 : static_cast<int>(std::bit_width(count)) - field.bits;
    return field.unit * static_cast<std::int64_t>((count >> dropped) << dropped);
}

}  // namespace mastline
