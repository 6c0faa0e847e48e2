// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/output_files.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cstdio>
#include <system_error>

namespace mastline {

namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse(const std::string& what) {
    throw std::system_error(errno, std::generic_category(), what);
}

void write_all(int descriptor, std::string_view text, const std::string& name) {
    while (!text.empty()) {
        const ssize_t written = ::write(descriptor, text.data(), text.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) refuse(name);
        text.remove_prefix(static_cast<std::size_t>(written));
    }
}

void write_to(const fs::path& path, std::string_view text, int flags) {
    const int descriptor = ::open(path.c_str(), O_WRONLY | O_CLOEXEC | flags, 0666);
    if (descriptor < 0) refuse(path.string());
    try {
        write_all(descriptor, text, path.string());
    } catch (...) {
        ::close(descriptor);
        throw;
    }
    if (::close(descriptor) != 0) refuse(path.string());
}

// The files beside, gone again unless all are renamed.
class Beside {
public:
    ~Beside() {
        std::error_code ignored;  // nothing more can be done about it
        for (const auto& [from, to] : pending_) fs::remove(from, ignored);
    }
    void add(const OutputFile& file) {
        if (file.path.has_parent_path()) fs::create_directories(file.path.parent_path());
        fs::path beside = file.path;
        beside += ".new-" + std::to_string(::getpid());
        pending_.emplace_back(beside, file.path);
        write_to(beside, file.text, O_CREAT | O_TRUNC);
    }
    void keep_permissions() {
        for (const auto& [from, to] : pending_)
            if (fs::exists(to)) fs::permissions(from, fs::status(to).permissions());
    }
    void rename_all() {
        for (const auto& [from, to] : pending_) fs::rename(from, to);
        pending_.clear();
    }

private:
    std::vector<std::pair<fs::path, fs::path>> pending_;
};

// A device or a pipe is written to; a link is followed, so that it stays one.
bool is_special(const fs::path& path) {
    std::error_code ignored;  // what is not there is not special
    const auto status = fs::status(path, ignored);
    return fs::exists(status) && !fs::is_regular_file(status) && !fs::is_directory(status);
}

fs::path target_of(const fs::path& path) {
    return fs::is_symlink(fs::symlink_status(path)) ? fs::weakly_canonical(path) : path;
}

}  // namespace

void write_files(const std::vector<OutputFile>& files) {
    Beside beside;
    for (const auto& file : files) {
        if (fs::is_directory(file.path))
            throw std::system_error(std::make_error_code(std::errc::is_a_directory),
                                    file.path.string());
        beside.add(file);
    }
    beside.rename_all();
}

void replace_files(std::vector<OutputFile> files) {
    Beside beside;
    for (auto& file : files) {
        file.path = target_of(file.path);
        beside.add(file);
    }
    beside.keep_permissions();
    beside.rename_all();
}

void write_text(const std::string& path, std::string_view text) {
    if (path == "-") return print(text);
    if (is_special(path)) return write_to(path, text, 0);
    write_files({{target_of(path), std::string(text)}});
}

void print(std::string_view text) { write_all(STDOUT_FILENO, text, "standard output"); }

}  // namespace mastline
