// SPDX-License-Identifier: Apache-2.0
// Text of a file from the disk.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace mastline {

// None when no file stands there (nothing at all, or a folder). Throws system_error when the
// machine refuses.
std::optional<std::string> read_file(const std::filesystem::path& path);

}  // namespace mastline
