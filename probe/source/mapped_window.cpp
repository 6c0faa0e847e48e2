// SPDX-License-Identifier: Apache-2.0
#include "probe/source/mapped_window.hpp"

#include <signal.h>
#include <sys/mman.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <cstdint>
#include <cstring>
#include <utility>

namespace mastline {

namespace {

// A page that its file no longer has raises SIGBUS where it is read. Windows are few: each reader of a
// file has one.
struct WatchedWindow {
    std::atomic<bool> taken{false}, torn{false};
    std::atomic<std::uintptr_t> begin{0}, end{0};
};
constexpr std::size_t kMostWatched = 16;
std::array<WatchedWindow, kMostWatched> watched_windows;
struct sigaction bus_error_before;

// Puts pages of 0xFF, which no capture and no transport stream goes on with, in the place of what is
// gone. Uses only what a signal handler may.
bool patch_window(std::uintptr_t at) {
    for (auto& window : watched_windows) {
        if (!window.taken || at < window.begin || at >= window.end) continue;
        const auto page = static_cast<std::uintptr_t>(::sysconf(_SC_PAGESIZE));
        const std::uintptr_t from = at / page * page;
        void* const place = reinterpret_cast<void*>(from);
        void* const got = ::mmap(place, page, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS | MAP_FIXED, -1, 0);
        if (got != place) return false;
        std::memset(place, 0xFF, page);
        window.torn = true;
        return true;
    }
    return false;
}

void on_bus_error(int number, siginfo_t* info, void* context) {
    if (patch_window(reinterpret_cast<std::uintptr_t>(info->si_addr))) return;
    if ((bus_error_before.sa_flags & SA_SIGINFO) != 0) bus_error_before.sa_sigaction(number, info, context);
    else ::signal(SIGBUS, SIG_DFL);  // raised again on return
}

void watch_bus_errors() {
    static const bool once = [] {
        struct sigaction action {};
        action.sa_sigaction = on_bus_error;
        action.sa_flags = SA_SIGINFO;
        ::sigemptyset(&action.sa_mask);
        return ::sigaction(SIGBUS, &action, &bus_error_before) == 0;
    }();
    static_cast<void>(once);
}

std::optional<std::size_t> take_watched_place() {
    for (std::size_t i = 0; i < kMostWatched; ++i)
        if (bool taken = false; watched_windows[i].taken.compare_exchange_strong(taken, true)) return i;
    return std::nullopt;
}

}  // namespace

std::optional<MappedWindow> MappedWindow::open(int file, std::size_t from, std::size_t size) {
    watch_bus_errors();
    const auto place = take_watched_place();
    if (!place) return std::nullopt;
    WatchedWindow& window = watched_windows[*place];
    void* const got = ::mmap(nullptr, size, PROT_READ, MAP_PRIVATE | MAP_POPULATE, file, static_cast<off_t>(from));
    if (got == MAP_FAILED) {
        window.taken = false;
        return std::nullopt;
    }
    window.torn = false;
    window.begin = reinterpret_cast<std::uintptr_t>(got);
    window.end = window.begin + size;
    return MappedWindow(static_cast<std::byte*>(got), size, *place);
}

MappedWindow::MappedWindow(MappedWindow&& other) noexcept
    : begin_(std::exchange(other.begin_, nullptr)), size_(other.size_), place_(other.place_) {}

MappedWindow& MappedWindow::operator=(MappedWindow&& other) noexcept {
    std::swap(begin_, other.begin_);
    std::swap(size_, other.size_);
    std::swap(place_, other.place_);
    return *this;
}

MappedWindow::~MappedWindow() {
    if (begin_ == nullptr) return;
    WatchedWindow& window = watched_windows[place_];
    window.begin = window.end = 0;
    ::munmap(begin_, size_);
    window.taken = false;
}

bool MappedWindow::torn() const { return watched_windows[place_].torn; }

}  // namespace mastline
