// SPDX-License-Identifier: Apache-2.0
// What a program says when the machine said no.
#pragma once

#include <exception>
#include <filesystem>
#include <string>

#include "mastline/text/escape.hpp"

namespace mastline {

// One line: the file first, then why, as for every other call that was refused.
inline std::string refusal_text(const std::exception& error) {
    const auto* refused = dynamic_cast<const std::filesystem::filesystem_error*>(&error);
    return plain_line(refused == nullptr ? error.what() : refused->path1().string() + ": " + refused->code().message());
}

}  // namespace mastline
