// SPDX-License-Identifier: Apache-2.0
// Writing once what stands several times: "{}" in a text is the number of the copy.
#pragma once

#include <string>
#include <string_view>

namespace mastline {

// Copy `number` (from 1) of a text: "{}" becomes the number, "{+4}" the number plus 4.
std::string copy_text(std::string_view text, int number);

// Name of copy `number` of `count`: as copy_text; where the text has no braces and there are several
// copies, "-1", "-2" ... is appended.
std::string copy_name(std::string_view text, int number, int count);

}  // namespace mastline
