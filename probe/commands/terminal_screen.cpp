// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/terminal_screen.hpp"

#include <poll.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <string_view>

#include "probe/commands/output.hpp"

namespace mastline {

namespace {

void write_all(std::string_view text) {
    while (!text.empty()) {
        const auto n = ::write(STDOUT_FILENO, text.data(), text.size());
        if (n <= 0) return;  // the terminal has gone; reading tells
        text.remove_prefix(static_cast<std::size_t>(n));
    }
}

}  // namespace

bool TerminalScreen::possible() {
    const char* term = std::getenv("TERM");
    return ::isatty(STDIN_FILENO) == 1 && ::isatty(STDOUT_FILENO) == 1 && term != nullptr && std::string_view(term) != "dumb" && *term != '\0';
}

// Keys one by one and unseen; no Ctrl-S or Ctrl-Z, which would stop the watch. Ctrl-C stays a signal.
// Then the second screen, without a cursor (xterm's private modes 1049 and 25).
TerminalScreen::TerminalScreen() {
    ::tcgetattr(STDIN_FILENO, &before_);
    termios raw = before_;
    raw.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
    raw.c_iflag &= ~static_cast<tcflag_t>(IXON);
    raw.c_cc[VMIN] = 0;
    raw.c_cc[VTIME] = 0;
    raw.c_cc[VSUSP] = _POSIX_VDISABLE;
    ::tcsetattr(STDIN_FILENO, TCSAFLUSH, &raw);
    write_all("\x1b[?1049h\x1b[?25l\x1b[2J");
}

TerminalScreen::~TerminalScreen() {
    write_all("\x1b[?25h\x1b[?1049l");
    ::tcsetattr(STDIN_FILENO, TCSAFLUSH, &before_);
}

std::string TerminalScreen::pressed(bool& open) {
    open = true;
    pollfd ready{STDIN_FILENO, POLLIN, 0};
    if (::poll(&ready, 1, 0) <= 0) return {};
    char bytes[256];
    const auto n = ::read(STDIN_FILENO, bytes, sizeof bytes);
    open = n > 0;
    return n > 0 ? std::string(bytes, static_cast<std::size_t>(n)) : std::string();
}

TerminalStyle TerminalScreen::style() const { return terminal_style(STDOUT_FILENO); }

std::size_t TerminalScreen::rows() const {
    winsize size{};
    const bool told = ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row > 0;
    return told ? std::max<std::size_t>(size.ws_row, 10) : 24;
}

// From the top left, each line cleared to its end, so that nothing flickers.
void TerminalScreen::draw(const std::string& frame) {
    std::string out = "\x1b[H";
    for (const char c : frame) {
        if (c == '\n') out += "\x1b[K\r\n";
        else out += c;
    }
    write_all(out + "\x1b[K\x1b[J");
}

}  // namespace mastline
