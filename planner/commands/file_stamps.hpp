// SPDX-License-Identifier: Apache-2.0
// Whether files were changed, by what the file system says of them. Asking is cheap and works where
// notices of changes do not: shares of other machines, editors that rename, files that are not there yet.
#pragma once

#include <cstdint>
#include <filesystem>
#include <vector>

namespace mastline {

// All zero for a file that is not there.
struct FileStamp {
    std::int64_t modified_ns = 0, changed_ns = 0, size = 0;
    std::uint64_t device = 0, inode = 0;
    friend bool operator==(const FileStamp&, const FileStamp&) = default;
};

std::vector<FileStamp> stamps_of(const std::vector<std::filesystem::path>& files);

}  // namespace mastline
