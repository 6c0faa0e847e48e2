// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/input_file.hpp"

#include <cerrno>
#include <fstream>
#include <iterator>
#include <system_error>

namespace mastline {

namespace {

namespace fs = std::filesystem;

bool is_file(const fs::path& path) {
    std::error_code error;
    const auto status = fs::status(path, error);
    if (status.type() == fs::file_type::not_found || error == std::errc::not_a_directory ||
        error == std::errc::filename_too_long || error == std::errc::too_many_symbolic_link_levels)
        return false;
    if (error) throw std::system_error(error, path.string());
    return status.type() != fs::file_type::directory;
}

}  // namespace

std::optional<std::string> read_file(const fs::path& path) {
    if (!is_file(path)) return std::nullopt;
    errno = 0;
    std::ifstream in(path, std::ios::binary);
    std::string text;
    if (in) text.assign(std::istreambuf_iterator<char>(in), {});
    if (!in || in.bad())
        throw std::system_error(errno != 0 ? errno : EIO, std::generic_category(), path.string());
    return text;
}

}  // namespace mastline
