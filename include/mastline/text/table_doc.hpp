// SPDX-License-Identifier: Apache-2.0
// What a table of a file may hold. The readers accept exactly the keys listed here and the
// reference page is written from the same lists, so that neither can drift from the other.
#pragma once

#include <span>
#include <string_view>

namespace mastline {

struct KeyDoc {
    std::string_view name;     // "level_low"
    std::string_view type;     // "level", "list of text", "one of: satellite, antenna"
    bool required = false;
    std::string_view meaning;  // one sentence; default value and unit where they matter
};

struct TableDoc {
    std::string_view heading;  // as it stands in the file: "[[feed]]", "[[feed.lane]]", "[venue]"
    std::string_view meaning;
    std::span<const KeyDoc> keys;
};

}  // namespace mastline
