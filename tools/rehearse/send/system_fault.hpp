// SPDX-License-Identifier: Apache-2.0
// The system's refusal of a call, as an exception.
#pragma once

#include <cerrno>
#include <string>
#include <system_error>

namespace mastline {

// Throws std::system_error of errno.
[[noreturn]] inline void fail(const std::string& what) {
    throw std::system_error(errno, std::generic_category(), what);
}

}  // namespace mastline
