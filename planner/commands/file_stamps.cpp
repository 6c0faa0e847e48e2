// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/file_stamps.hpp"

#include <sys/stat.h>

namespace mastline {

namespace {

std::int64_t nanoseconds(const timespec& time) { return time.tv_sec * 1'000'000'000 + time.tv_nsec; }

FileStamp stamp_of(const std::filesystem::path& file) {
    struct stat status {};
    if (::stat(file.c_str(), &status) != 0) return {};
    return {nanoseconds(status.st_mtim), nanoseconds(status.st_ctim), status.st_size, status.st_dev, status.st_ino};
}

}  // namespace

std::vector<FileStamp> stamps_of(const std::vector<std::filesystem::path>& files) {
    std::vector<FileStamp> out;
    for (const auto& file : files) out.push_back(stamp_of(file));
    return out;
}

}  // namespace mastline
