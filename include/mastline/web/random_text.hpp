// SPDX-License-Identifier: Apache-2.0
// Text that nobody can guess: nonces of pages, tokens.
#pragma once

#include <random>
#include <string>
#include <string_view>

namespace mastline {

// 32 characters of 64 kinds: 192 bits from the system's generator.
inline std::string random_text() {
    constexpr std::string_view kinds = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    std::random_device system;
    std::string out;
    for (int i = 0; i < 32; ++i) out += kinds[system() & 63U];
    return out;
}

}  // namespace mastline
