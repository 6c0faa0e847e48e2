// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/output.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <system_error>

#include "mastline/expectation/read_plan_file.hpp"
#include "mastline/missing_input.hpp"
#include "mastline/text/escape.hpp"

namespace mastline {

namespace {

[[noreturn]] void refuse(const std::string& path) {
    throw std::system_error(errno != 0 ? errno : EIO, std::generic_category(), path);
}

std::string environment(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? std::string() : std::string(value);
}

std::size_t width_of(int descriptor) {
    winsize size{};
    if (::ioctl(descriptor, TIOCGWINSZ, &size) == 0 && size.ws_col >= 40) return size.ws_col;
    const std::string columns = environment("COLUMNS");
    std::size_t told = 0;
    std::from_chars(columns.data(), columns.data() + columns.size(), told);
    return told >= 40 && told <= 1000 ? told : 80;
}

std::string folder_of(const std::string& path) {
    const std::string parent = std::filesystem::path(path).parent_path().string();
    return parent.empty() ? "." : parent;
}

// POSIX: LC_ALL before LC_CTYPE before LANG.
bool speaks_utf8() {
    for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
        const std::string value = environment(name);
        if (value.empty()) continue;
        return value.find("UTF-8") != std::string::npos || value.find("utf8") != std::string::npos ||
               value.find("utf-8") != std::string::npos;
    }
    return false;
}

}  // namespace

void write_output(const std::string& path, std::string_view text) {
    errno = 0;
    if (path == "-") {
        std::cout << text << std::flush;
        if (!std::cout) refuse("standard output");
        return;
    }
    const std::string beside = path + ".part";
    std::ofstream out(beside, std::ios::binary | std::ios::trunc);
    out << text;
    out.close();
    if (!out) {
        const int error = errno;
        std::remove(beside.c_str());
        errno = error;
        refuse(path);
    }
    if (std::rename(beside.c_str(), path.c_str()) != 0) refuse(path);
}

void need_writable(const std::string& path) {
    if (path.empty() || path == "-") return;
    if (const auto folder = folder_of(path); !std::filesystem::exists(folder))
        throw UsageError("there is no folder " + folder + " to write " + path + " into; make it first");
    if (::access(folder_of(path).c_str(), W_OK) != 0) refuse(path);
}

TerminalStyle terminal_style(int descriptor) {
    const bool terminal = ::isatty(descriptor) == 1;
    return {width_of(descriptor), terminal && environment("NO_COLOR").empty() && environment("TERM") != "dumb",
            speaks_utf8()};
}

std::string read_file(const std::string& path) {
    errno = 0;
    std::ifstream in(path, std::ios::binary);
    std::string text{std::istreambuf_iterator<char>(in), {}};
    if (!in) refuse(path);
    return text;
}

std::optional<ExpectedLineup> open_plan(const std::string& given) {
    const std::string path = plan_path(given).string();
    need_input("plan", path, kBuildWritesPlans);
    Findings findings;
    auto plan = read_plan_file(read_file(path), path, findings);
    sort_findings(findings);
    for (const auto& f : findings) std::cerr << plain_line(to_line(f)) << "\n";
    return plan;
}

}  // namespace mastline
