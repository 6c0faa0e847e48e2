// SPDX-License-Identifier: Apache-2.0
// One named fact of a <dl class="facts">.
#pragma once

#include <string>
#include <string_view>

#include "mastline/text/escape.hpp"

namespace mastline {

inline std::string fact(std::string_view name, std::string_view value) {
    return "<div><dt>" + escape_markup(name) + "</dt><dd>" + escape_markup(value) + "</dd></div>";
}

}  // namespace mastline
