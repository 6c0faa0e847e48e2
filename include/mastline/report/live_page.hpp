// SPDX-License-Identifier: Apache-2.0
// The page of a running watch: a wall of channels, told of every look as it happens. Three files that
// never change while the program runs; what they show comes as JSON (live_json.hpp).
#pragma once

#include <string>
#include <string_view>

namespace mastline {

std::string live_page(const std::string& venue);  // "/"
std::string live_page_style();                    // "/watch.css"
std::string_view live_page_script();              // "/watch.js"

}  // namespace mastline
