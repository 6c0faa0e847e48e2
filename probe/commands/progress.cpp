// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/progress.hpp"

#include <unistd.h>

#include <cstdlib>
#include <iostream>
#include <string_view>

#include "probe/commands/output.hpp"

namespace mastline {

namespace {

bool overwrites(int descriptor) {
    const char* terminal = std::getenv("TERM");
    return ::isatty(descriptor) == 1 && terminal != nullptr && std::string_view(terminal) != "dumb";
}

}  // namespace

Progress::Progress() : terminal_(overwrites(STDERR_FILENO)), width_(terminal_style(STDERR_FILENO).width) {}

Progress::~Progress() {
    if (terminal_ && drawn_ >= Duration{}) std::cerr << "\r" << std::string(width_ - 1, ' ') << "\r" << std::flush;
}

void Progress::show(Duration done, Duration whole, std::uint64_t datagrams) {
    if (!terminal_ || (drawn_ >= Duration{} && done - drawn_ < std::chrono::milliseconds(200))) return;
    const auto line = progress_line(done, whole, datagrams, width_);
    drawn_ = done;
    std::cerr << "\r" << line << std::string(width_ - 1 - line.size(), ' ') << std::flush;
}

}  // namespace mastline
