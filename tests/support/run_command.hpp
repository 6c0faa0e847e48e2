// SPDX-License-Identifier: Apache-2.0
// Runs a shell command and keeps what it printed.
#pragma once

#include <stdio.h>
#include <sys/wait.h>

#include <array>
#include <stdexcept>
#include <string>

namespace mastline::test {

struct CommandResult {
    int status = -1;     // exit status; 128 + signal when a signal ended it
    std::string output;  // standard output; add "2>&1" to the command for both
};

inline CommandResult run_command(const std::string& command) {
    FILE* pipe = ::popen(command.c_str(), "r");
    if (pipe == nullptr) throw std::runtime_error("cannot run " + command);
    CommandResult out;
    std::array<char, 4096> buffer{};
    for (std::size_t n = 0; (n = ::fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
        out.output.append(buffer.data(), n);
    const int status = ::pclose(pipe);
    out.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    return out;
}

}  // namespace mastline::test
