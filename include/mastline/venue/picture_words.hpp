// SPDX-License-Identifier: Apache-2.0
// Picture classes as people write them.
#pragma once

#include <array>
#include <optional>
#include <string_view>

#include "mastline/venue/channels.hpp"

namespace mastline {

inline constexpr std::array kPictureClasses{PictureClass::radio, PictureClass::sd, PictureClass::hd, PictureClass::uhd};

// "HD" and "hd" alike: spreadsheets hold both. None for any other word.
std::optional<PictureClass> picture_class_named(std::string_view word);

}  // namespace mastline
