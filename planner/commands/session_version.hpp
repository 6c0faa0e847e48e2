// SPDX-License-Identifier: Apache-2.0
// The version of a session description, after the one that was written before (RFC 8866 section
// 5.2: it is increased when the description is changed).
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>

namespace mastline {

// `written(version)` is the description now. It keeps the version of `before` when it says the same
// with it, else takes the next; 1 where there is none before, or none of ours.
std::uint64_t session_version(const std::optional<std::string>& before,
                              const std::function<std::string(std::uint64_t)>& written);

}  // namespace mastline
