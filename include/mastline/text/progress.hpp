// SPDX-License-Identifier: Apache-2.0
// How far something is and how long it will still take, on standard error; silent unless that is a
// terminal that can write over its own line. Lines are plain ASCII and without colour.
#pragma once

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <cstdlib>
#include <functional>
#include <iostream>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <thread>

#include "mastline/units/ticks.hpp"

namespace mastline {

// "[####....] tail", shorter than the width. `part`: 0 to 1.
inline std::string bar_line(double part, const std::string& tail, std::size_t width) {
    const std::size_t room = width > tail.size() + 13 ? std::min<std::size_t>(width - tail.size() - 5, 40) : 8;
    const auto full = static_cast<std::size_t>(std::clamp(part, 0.0, 1.0) * static_cast<double>(room));
    return ("[" + std::string(full, '#') + std::string(room - full, '.') + "] " + tail).substr(0, width - 1);
}

// "[####....] 4 of 10 s, 6 s left, 1200 datagrams": something that takes a time known before.
// REQUIRES: whole > 0
inline std::string time_line(Duration done, Duration whole, const std::string& more, std::size_t width) {
    using std::chrono::seconds;
    // Whole seconds that add up: what is left is not rounded by itself.
    const auto all = std::chrono::ceil<seconds>(whole), passed = std::chrono::floor<seconds>(std::clamp(done, Duration{}, whole));
    return bar_line(static_cast<double>(done.count()) / static_cast<double>(whole.count()),
                    std::to_string(passed.count()) + " of " + std::to_string(all.count()) + " s, " +
                        std::to_string((all - passed).count()) + " s left" + (more.empty() ? "" : ", " + more),
                    width);
}

// "about 12 s left": the rest takes as long for its share as what is done took. Empty before a hundredth
// is done, from which nothing can be told.
inline std::string left_text(double part, Duration passed) {
    if (part < 0.01) return {};
    const double seconds = static_cast<double>(passed.count()) / 1e9 * (1 / std::min(part, 1.0) - 1);
    return "about " + number_text(std::ceil(seconds), 0) + " s left";
}

// "[####....] cards, 3 s, about 4 s left": `done` of 1 was done when `begun` had passed, and the rest goes on like
// that until `next`, where something else begins. Nothing is promised where it is later than that.
inline std::string part_line(std::string_view work, double done, Duration begun, Duration passed, double next, std::size_t width) {
    std::string tail = std::string(work) + ", " + std::to_string(std::chrono::floor<std::chrono::seconds>(passed).count()) + " s";
    if (done <= 0) return bar_line(0, tail, width);
    const double part = done * static_cast<double>(passed.count()) / static_cast<double>(begun.count());
    if (const auto left = part < next ? left_text(part, passed) : ""; !left.empty()) tail += ", " + left;
    return bar_line(std::min(part, next), tail, width);
}

// "[####....] 1.2 of 3.4 GB, about 12 s left". `whole` 0: not known before the end, "1.2 GB, 12 s".
inline std::string bytes_line(std::uint64_t done, std::uint64_t whole, Duration passed, std::size_t width) {
    const std::uint64_t largest = std::max(done, whole);
    const bool giga = largest >= 1'000'000'000;
    const auto text = [&](std::uint64_t bytes) { return fixed_text(static_cast<double>(bytes) / (giga ? 1e9 : 1e6), giga ? 2 : 0); };
    const std::string unit = giga ? " GB" : " MB";
    const auto seconds = std::chrono::floor<std::chrono::seconds>(passed).count();
    if (whole == 0) return (text(done) + unit + ", " + std::to_string(seconds) + " s").substr(0, width - 1);
    const double part = static_cast<double>(done) / static_cast<double>(whole);
    const auto left = left_text(part, passed);
    return bar_line(part, text(std::min(done, whole)) + " of " + text(whole) + unit + (left.empty() ? "" : ", " + left), width);
}

// The last line of standard error, written over and over.
class ProgressLine {
public:
    ProgressLine() : terminal_(overwrites()), width_(columns()) {}
    ~ProgressLine() {
        if (drawn_) std::cerr << "\r" << std::string(width_ - 1, ' ') << "\r" << std::flush;
    }
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;

    bool shown() const { return terminal_; }
    std::size_t width() const { return width_; }
    // Draws at most five times a second, and nothing in the first `quiet` of the line's life.
    bool due(Duration quiet = {}) const {
        const auto now = Clock::now();
        return terminal_ && now - born_ >= quiet && (!drawn_ || now - *drawn_ >= std::chrono::milliseconds(200));
    }
    Duration passed() const { return Clock::now() - born_; }
    // REQUIRES: text.size() < width()
    void draw(const std::string& text) {
        drawn_ = Clock::now();
        std::cerr << "\r" << text << std::string(width_ - 1 - text.size(), ' ') << std::flush;
    }

private:
    using Clock = std::chrono::steady_clock;

    static bool overwrites() {
        const char* terminal = std::getenv("TERM");
        return ::isatty(STDERR_FILENO) == 1 && terminal != nullptr && std::string_view(terminal) != "dumb";
    }
    static std::size_t columns() {
        winsize size{};
        return ::ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col >= 40 ? size.ws_col : 80;
    }

    bool terminal_;
    std::size_t width_;
    Clock::time_point born_ = Clock::now();
    std::optional<Clock::time_point> drawn_;
};

// Draws beside work that cannot be asked on the way. `line` is called from a thread of its own, with the
// time passed and the width; an empty text draws nothing. Nothing is drawn in the first second.
class ProgressTicker {
public:
    explicit ProgressTicker(std::function<std::string(Duration, std::size_t)> line) : line_(std::move(line)) {
        if (progress_.shown()) thread_ = std::jthread([this](const std::stop_token& stop) { tick(stop); });
    }

private:
    void tick(const std::stop_token& stop) {
        std::mutex guard;
        std::unique_lock lock(guard);
        std::condition_variable_any ended;
        while (!ended.wait_for(lock, stop, std::chrono::milliseconds(250), [&] { return stop.stop_requested(); })) {
            if (!progress_.due(std::chrono::seconds(1))) continue;
            if (const auto text = line_(progress_.passed(), progress_.width()); !text.empty()) progress_.draw(text);
        }
    }

    ProgressLine progress_;
    std::function<std::string(Duration, std::size_t)> line_;
    std::jthread thread_;  // the last: ends before what it uses
};

// Of work that tells which part of it is done.
class PartProgress {
public:
    explicit PartProgress(std::string work)
        : work_(std::move(work)), ticker_([this](Duration passed, std::size_t width) {
              const std::lock_guard lock(guard_);
              return part_line(work_, done_, at_, passed, 1, width);
          }) {}

    // `part`: 0 to 1 of all work.
    void done(double part) {
        const std::lock_guard lock(guard_);
        done_ = part;
        at_ = std::chrono::steady_clock::now() - start_;
    }

private:
    std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
    std::string work_;
    std::mutex guard_;
    double done_ = 0;
    Duration at_{};  // when that was
    ProgressTicker ticker_;  // the last: its thread uses the rest
};

}  // namespace mastline
