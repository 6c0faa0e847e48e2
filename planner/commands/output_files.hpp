// SPDX-License-Identifier: Apache-2.0
// Files as the programs leave them: written beside and renamed, so that a reader sees the old file
// or the new one and never half of one.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace mastline {

struct OutputFile {
    std::filesystem::path path;
    std::string text;
};

// All of them or, when one cannot be written, none; makes the folders. Throws system_error.
void write_files(const std::vector<OutputFile>& files);

// The same for files that people keep: a link stays one, and a file keeps its permissions.
void replace_files(std::vector<OutputFile> files);

// One text to a file or, for "-", to standard output. Throws system_error.
void write_text(const std::string& path, std::string_view text);

// To standard output at once. Throws system_error.
void print(std::string_view text);

}  // namespace mastline
