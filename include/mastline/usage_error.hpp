// SPDX-License-Identifier: Apache-2.0
// A command was asked for what cannot be: exit status 2.
#pragma once

#include <stdexcept>

namespace mastline {

struct UsageError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

}  // namespace mastline
