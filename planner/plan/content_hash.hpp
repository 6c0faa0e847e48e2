// SPDX-License-Identifier: Apache-2.0
// FNV-1a, 64 bits (RFC 9923): tells two texts apart that differ by accident. It guards nothing
// against intent, so a cryptographic library would add a dependency and no safety.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace mastline {

constexpr std::uint64_t content_hash(std::string_view text) {
    std::uint64_t hash = 0xCBF29CE484222325;
    for (const char c : text) {
        hash ^= static_cast<unsigned char>(c);
        hash *= 0x100000001B3;
    }
    return hash;
}

// 16 digits, leading zeros kept.
inline std::string hash_text(std::uint64_t hash) {
    std::string out(16, '0');
    for (auto digit = out.rbegin(); digit != out.rend(); ++digit, hash >>= 4)
        *digit = "0123456789abcdef"[hash & 15];
    return out;
}

}  // namespace mastline
