// SPDX-License-Identifier: Apache-2.0
// A text as its lines; what follows the last line break is a line where there is anything.
#pragma once

#include <sstream>
#include <string>
#include <vector>

namespace mastline::test {

inline std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> out;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) out.push_back(line);
    return out;
}

}  // namespace mastline::test
