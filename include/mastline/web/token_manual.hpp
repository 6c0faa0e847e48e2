// SPDX-License-Identifier: Apache-2.0
// What the manual pages of programs that serve a page say of its token, in roff: man(7).
#pragma once

#include <string_view>

namespace mastline {

inline constexpr std::string_view kTokenManual = R"roff(.TP
.B MASTLINE_TOKEN
The token of the page where no
.B \-\-token\-file
is given, 16 to 128 letters, digits and \- . _ ~.
Without either one is made up where others can reach the page, and told with its address.
)roff";

}  // namespace mastline
