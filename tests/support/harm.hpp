// SPDX-License-Identifier: Apache-2.0
// What would do harm in a text that people or programs look at, and names that would bring it there.
#pragma once

#include <string>

namespace mastline::test {

// Controls but for line ends and tabulators, and what turns the direction of a text round (UAX #9 table 4).
inline std::string unseen_in(const std::string& text) {
    for (const char c : text)
        if (static_cast<unsigned char>(c) < 0x20 && c != '\n' && c != '\r' && c != '\t') return "control " + std::to_string(c);
    for (const std::string turn : {"\u202A", "\u202B", "\u202C", "\u202D", "\u202E", "\u2066", "\u2067", "\u2068", "\u2069"})
        if (text.find(turn) != std::string::npos) return "a bidirectional control";
    return {};
}

}  // namespace mastline::test
