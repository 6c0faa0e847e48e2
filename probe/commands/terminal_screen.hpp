// SPDX-License-Identifier: Apache-2.0
// The whole of the terminal while a watch runs: keys as they are pressed, frames in place of lines. The
// terminal is as it was when this ends.
#pragma once

#include <termios.h>

#include <string>

#include "mastline/report/terminal.hpp"

namespace mastline {

class TerminalScreen {
public:
    // Whether standard input and output are a terminal that can show frames.
    static bool possible();

    TerminalScreen();
    ~TerminalScreen();
    TerminalScreen(const TerminalScreen&) = delete;
    TerminalScreen& operator=(const TerminalScreen&) = delete;

    // What was pressed since; never waits. False in `open` when the terminal has gone.
    std::string pressed(bool& open);
    // Its size and abilities now; it may be resized at any time.
    TerminalStyle style() const;
    std::size_t rows() const;
    void draw(const std::string& frame);

private:
    termios before_{};
};

}  // namespace mastline
