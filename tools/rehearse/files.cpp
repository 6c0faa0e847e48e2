// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/files.hpp"

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <system_error>

namespace mastline {

namespace {

[[noreturn]] void fail(int error, const std::string& name) {
    throw std::system_error(error, std::generic_category(), name);
}

}  // namespace

std::string read_file(const std::string& name) {
    if (std::filesystem::is_directory(name)) fail(EISDIR, name);
    errno = 0;
    std::ifstream file(name, std::ios::binary);
    std::string text{std::istreambuf_iterator<char>(file), {}};
    if (!file) fail(errno != 0 ? errno : EIO, name);
    return text;
}

void write_file(const std::string& name, const std::string& text) {
    const std::string beside = name + ".part";
    errno = 0;
    if (!(std::ofstream(beside, std::ios::binary) << text << std::flush))
        fail(errno != 0 ? errno : EIO, name);
    std::filesystem::rename(beside, name);
}

}  // namespace mastline
