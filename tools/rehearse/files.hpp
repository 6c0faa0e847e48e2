// SPDX-License-Identifier: Apache-2.0
// Whole files. Both throw std::system_error.
#pragma once

#include <string>

namespace mastline {

std::string read_file(const std::string& name);

// Written beside and renamed.
void write_file(const std::string& name, const std::string& text);

}  // namespace mastline
