// SPDX-License-Identifier: Apache-2.0
// What mastline-still answers on its standard output: width 16 | height 16, big-endian, then three bytes
// (red, green, blue) for each pixel, row by row. Whatever became of the program that wrote it, these bytes
// can say nothing but colours.
#pragma once

#include <optional>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/still/still.hpp"

namespace mastline {

inline constexpr std::size_t kStillReplyHead = 4;
inline constexpr std::size_t kMostStillReply = kStillReplyHead + std::size_t{Still::kMostWidth} * Still::kMostHeight * 3;

// How it ends where it answers nothing.
enum class StillExit : int { good = 0, usage = 2, refused = 3, no_picture = 4 };

struct StillPixels {
    unsigned width = 0, height = 0;
    ByteView rgb;  // lives as long as the reply
};

// None: a size of nothing or beyond the bounds, or not the bytes of that size.
inline std::optional<StillPixels> parse_still_reply(ByteView reply) {
    if (reply.size() < kStillReplyHead) return std::nullopt;
    const StillPixels out{read_u16(reply, 0), read_u16(reply, 2), reply.subspan(kStillReplyHead)};
    if (out.width == 0 || out.height == 0 || out.width > Still::kMostWidth || out.height > Still::kMostHeight) return std::nullopt;
    if (out.rgb.size() != std::size_t{out.width} * out.height * 3) return std::nullopt;
    return out;
}

}  // namespace mastline
