// SPDX-License-Identifier: Apache-2.0
// Code points to UTF-8.
#pragma once

#include <cstdint>
#include <string>

namespace mastline {

// Surrogates and what lies beyond U+10FFFF become U+FFFD.
inline void append_utf8(std::string& out, std::uint32_t c) {
    if ((c >= 0xD800 && c <= 0xDFFF) || c > 0x10FFFF) c = 0xFFFD;
    const auto put = [&](std::uint32_t byte) { out += static_cast<char>(byte); };
    if (c < 0x80) return put(c);
    if (c < 0x800) {
        put(0xC0U | (c >> 6));
    } else {
        if (c < 0x10000) {
            put(0xE0U | (c >> 12));
        } else {
            put(0xF0U | (c >> 18));
            put(0x80U | ((c >> 12) & 0x3FU));
        }
        put(0x80U | ((c >> 6) & 0x3FU));
    }
    put(0x80U | (c & 0x3FU));
}

}  // namespace mastline
