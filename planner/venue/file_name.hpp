// SPDX-License-Identifier: Apache-2.0
// Names of files inside a venue's folder.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace mastline {

// One spelling for each file: "./a//b/../c" is "a/c". None for a name that is empty, names a
// folder, or leads out of the folder.
inline std::optional<std::string> name_in_folder(const std::string& written) {
    if (written.find('\0') != std::string::npos) return std::nullopt;
    const auto path = std::filesystem::path(written).lexically_normal();
    if (path.empty() || path.is_absolute() || !path.has_filename() || *path.begin() == "..")
        return std::nullopt;
    if (path.filename() == "." || path.filename() == "..") return std::nullopt;
    return path.generic_string();
}

}  // namespace mastline
