// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/findings_text.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>

#include "mastline/text/escape.hpp"

namespace mastline {

namespace {

std::size_t width_of(std::string_view text) {
    return static_cast<std::size_t>(
        std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

// Breaks between words; what follows the first line is set in by four.
std::string broken(std::string_view line, std::size_t columns) {
    std::string out;
    std::size_t used = 0;
    while (!line.empty()) {
        const auto blank = line.find(' ');
        const auto word = line.substr(0, blank);
        const auto width = width_of(word);
        if (used > 0 && used + 1 + width > columns) {
            out += "\n    ";
            used = 4;
        } else if (used > 0) {
            out += ' ';
            ++used;
        }
        out += word;
        used += width;
        line.remove_prefix(blank == std::string_view::npos ? line.size() : blank + 1);
    }
    return out;
}

std::string_view colour_of(Severity severity) {
    return severity == Severity::error     ? "\033[1;31m"
           : severity == Severity::warning ? "\033[1;33m"
                                           : "\033[1;36m";
}

// Colours the severity's word, which stands first or behind the place.
void colour_word(std::string& line, const Finding& finding) {
    const std::string word(to_text(finding.severity));
    const auto from = finding.place.file.empty() ? 0 : plain_line(to_text(finding.place)).size();
    const auto at = line.find(word, from);
    if (at == std::string::npos) return;
    line.insert(at + word.size(), "\033[0m");
    line.insert(at, colour_of(finding.severity));
}

}  // namespace

std::string counted(std::size_t n, const std::string& noun) {
    return std::to_string(n) + " " + noun + (n == 1 ? "" : "s");
}

std::string findings_text(const Findings& findings, const TerminalLook& style) {
    std::string out;
    for (const auto& finding : findings) {
        std::string line = plain_line(to_line(finding));
        if (style.columns > 20) line = broken(line, style.columns);
        if (style.colour) colour_word(line, finding);
        out += line + "\n";
    }
    return out;
}

std::string counts_text(const Findings& findings) {
    const auto count = [&](Severity severity) {
        return static_cast<std::size_t>(
            std::count_if(findings.begin(), findings.end(),
                          [&](const Finding& f) { return f.severity == severity; }));
    };
    return counted(count(Severity::error), "error") + ", " +
           counted(count(Severity::warning), "warning") + ", " +
           counted(count(Severity::note), "note");
}

TerminalLook terminal_style() {
    TerminalLook out;
    if (::isatty(STDOUT_FILENO) == 0) return out;
    const char* no_colour = std::getenv("NO_COLOR");
    const char* terminal = std::getenv("TERM");
    out.colour = (no_colour == nullptr || *no_colour == '\0') && terminal != nullptr &&
                 std::string_view(terminal) != "dumb";
    winsize size{};
    if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0) out.columns = size.ws_col;
    return out;
}

}  // namespace mastline
