// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/picture_words.hpp"

#include <algorithm>

namespace mastline {

std::optional<PictureClass> picture_class_named(std::string_view word) {
    const auto lower = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; };
    for (const auto picture : kPictureClasses)
        if (std::ranges::equal(word, to_text(picture), {}, lower, lower)) return picture;
    return std::nullopt;
}

}  // namespace mastline
