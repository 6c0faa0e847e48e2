// SPDX-License-Identifier: Apache-2.0
// Words in a row, with what stands between them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace mastline {

inline std::string joined(const std::vector<std::string>& words, std::string_view between = ", ") {
    std::string out;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) out += between;
        out += words[i];
    }
    return out;
}

}  // namespace mastline
