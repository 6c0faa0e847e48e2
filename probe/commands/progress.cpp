// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/progress.hpp"

#include <unistd.h>

#include <algorithm>
#include <iostream>
#include <string>

#include "probe/commands/output.hpp"

namespace mastline {

namespace {
std::string whole_seconds(Duration d) { return fixed_text(static_cast<double>(d.count()) / 1e9, 0); }
}  // namespace

Progress::Progress() : terminal_(::isatty(STDERR_FILENO) == 1), width_(terminal_style(STDERR_FILENO).width) {}

Progress::~Progress() {
    if (terminal_ && drawn_ >= Duration{}) std::cerr << "\r" << std::string(width_ - 1, ' ') << "\r" << std::flush;
}

void Progress::show(Duration done, Duration whole, std::uint64_t datagrams) {
    if (!terminal_ || (drawn_ >= Duration{} && done - drawn_ < std::chrono::milliseconds(200))) return;
    drawn_ = done;
    const std::string tail = " " + whole_seconds(done) + " of " + whole_seconds(whole) + " s, " +
                             std::to_string(datagrams) + " datagrams";
    const std::size_t room = width_ > tail.size() + 12 ? std::min<std::size_t>(width_ - tail.size() - 4, 40) : 8;
    const double part = std::clamp(static_cast<double>(done.count()) / static_cast<double>(whole.count()), 0.0, 1.0);
    const auto full = static_cast<std::size_t>(part * static_cast<double>(room));
    const std::string bar = "[" + std::string(full, '#') + std::string(room - full, '.') + "]";
    std::cerr << "\r" << (bar + tail).substr(0, width_ - 1) << std::flush;
}

}  // namespace mastline
