// SPDX-License-Identifier: Apache-2.0
// Key lists put together at compile time.
#pragma once

#include <array>

#include "mastline/text/table_doc.hpp"

namespace mastline {

template <std::size_t A, std::size_t B>
constexpr std::array<KeyDoc, A + B> joined(const std::array<KeyDoc, A>& a,
                                           const std::array<KeyDoc, B>& b) {
    std::array<KeyDoc, A + B> out{};
    for (std::size_t i = 0; i < A; ++i) out[i] = a[i];
    for (std::size_t i = 0; i < B; ++i) out[A + i] = b[i];
    return out;
}

}  // namespace mastline
