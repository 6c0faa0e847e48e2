// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/live_lines.hpp"

#include "probe/report/explanation_text.hpp"
#include "probe/report/live_text.hpp"
#include "probe/report/terminal_text.hpp"

namespace mastline {

namespace {

// syslog(3).
constexpr int kWarning = 4, kNotice = 5, kInformation = 6;

std::string line(const std::string& text, int priority, Duration at, const LineStyle& style) {
    const std::string front = style.journal ? "<" + std::to_string(priority) + ">" : clock_text(at) + " ";
    return front + shown(text, {80, false, style.utf8}) + "\n";
}

bool is_bad(EventKind kind) { return kind != EventKind::recovered && kind != EventKind::network_recovered; }

}  // namespace

std::string opening_line(const LineupState& state, const LineStyle& style) {
    return line("watching " + std::to_string(state.channels().size()) + " channels of " + state.lineup().venue + " (plan " +
                    state.lineup().revision + ") on " + state.where(), kInformation, state.start(), style);
}

std::string event_lines(const LineupState& state, const std::vector<WatchEvent>& events, const LineStyle& style) {
    std::string out;
    bool began = false;
    for (const auto& e : events) {
        out += line(event_sentence(state, e), is_bad(e.kind) ? kWarning : kNotice, e.at, style);
        began = began || e.kind == EventKind::failed;
    }
    if (began && state.count(Outcome::failed) > 1 && !state.explanations().empty())
        out += line("shared: " + explanation_text(state.explanations().front(), kFewChannels), kNotice, state.now(), style);
    return out;
}

std::string standing_line(const LineupState& state, const LineStyle& style) {
    return line(count_text(state) + " of " + std::to_string(state.channels().size()) + " channels",
                state.count(Outcome::failed) > 0 ? kNotice : kInformation, state.now(), style);
}

std::string closing_line(const LineupState& state, const LineStyle& style) {
    return line("stopped after " + rough_time(state.now() - state.start()) + "; " + count_text(state), kInformation, state.now(), style);
}

}  // namespace mastline
