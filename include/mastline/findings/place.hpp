// SPDX-License-Identifier: Apache-2.0
// Where in the files something stands.
#pragma once

#include <compare>
#include <cstdint>
#include <string>

namespace mastline {

// A position in a source file; line and column count from 1, 0 means "the file as a whole".
struct Place {
    std::string file;  // as the user would name it: relative to where the venue was opened
    std::uint32_t line = 0;
    std::uint32_t column = 0;
    friend auto operator<=>(const Place&, const Place&) = default;
};

// "venue.toml:41:8"
inline std::string to_text(const Place& place) {
    std::string out = place.file;
    if (place.line > 0) out += ":" + std::to_string(place.line);
    if (place.line > 0 && place.column > 0) out += ":" + std::to_string(place.column);
    return out;
}

}  // namespace mastline
