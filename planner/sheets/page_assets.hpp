// SPDX-License-Identifier: Apache-2.0
// page.css, page.js and those of the desk as texts; the build makes page_assets.cpp of them.
#pragma once

#include <string_view>

namespace mastline {

extern const std::string_view kPageStyle;
extern const std::string_view kPageScript;
extern const std::string_view kDeskParts, kDeskStyle, kDeskScript, kSlipScript;

}  // namespace mastline
