// SPDX-License-Identifier: Apache-2.0
// How far a watch is and how long it will still take, on standard error; silent unless that is a terminal
// that can write over its own line.
#pragma once

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <string>

#include "mastline/units/ticks.hpp"

namespace mastline {

// "[####....] 4 of 10 s, 6 s left, 1200 datagrams", shorter than the width; of plain ASCII and without colour.
// REQUIRES: whole > 0
inline std::string progress_line(Duration done, Duration whole, std::uint64_t datagrams, std::size_t width) {
    using std::chrono::seconds;
    // Whole seconds that add up: what is left is not rounded by itself.
    const auto all = std::chrono::ceil<seconds>(whole), passed = std::chrono::floor<seconds>(std::clamp(done, Duration{}, whole));
    const std::string tail = " " + std::to_string(passed.count()) + " of " + std::to_string(all.count()) + " s, " +
                             std::to_string((all - passed).count()) + " s left, " + std::to_string(datagrams) + " datagrams";
    const std::size_t room = width > tail.size() + 12 ? std::min<std::size_t>(width - tail.size() - 4, 40) : 8;
    const double part = std::clamp(static_cast<double>(done.count()) / static_cast<double>(whole.count()), 0.0, 1.0);
    const auto full = static_cast<std::size_t>(part * static_cast<double>(room));
    const std::string bar = "[" + std::string(full, '#') + std::string(room - full, '.') + "]";
    return (bar + tail).substr(0, width - 1);
}

class Progress {
public:
    Progress();
    ~Progress();  // clears its line
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    // Draws at most five times a second.
    void show(Duration done, Duration whole, std::uint64_t datagrams);

private:
    bool terminal_;
    std::size_t width_;
    Duration drawn_{-1};
};

}  // namespace mastline
