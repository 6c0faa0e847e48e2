// SPDX-License-Identifier: Apache-2.0
#include "probe/report/live_text.hpp"

#include <algorithm>
#include <ctime>

namespace mastline {

namespace {

std::string joined(const std::vector<std::string>& words, std::string_view between) {
    std::string out;
    for (const auto& w : words) {
        if (!out.empty()) out += between;
        out += w;
    }
    return out;
}

}  // namespace

std::string_view outcome_word(Outcome outcome) {
    return outcome == Outcome::failed ? "failed" : outcome == Outcome::not_judged ? "unsure" : "right";
}

std::string_view event_word(EventKind kind) {
    switch (kind) {
        case EventKind::failed:
        case EventKind::network_failed: return "failed";
        case EventKind::other_fault: return "another fault";
        case EventKind::recovered:
        case EventKind::network_recovered: return "right again";
    }
    return "";
}

bool is_of_channel(const WatchEvent& event) {
    return event.kind != EventKind::network_failed && event.kind != EventKind::network_recovered;
}

std::string event_subject(const LineupState& state, const WatchEvent& event) {
    if (!is_of_channel(event)) return "network";
    const auto& e = state.lineup().flows[event.channel];
    return channel_text(e.channel, e.copy) + (e.name.empty() ? "" : " " + e.name);
}

std::string event_sentence(const LineupState& state, const WatchEvent& event) {
    std::string out = event_subject(state, event) + ": " + std::string(event_word(event.kind));
    if (!event.text.empty()) out += (event.checks.empty() ? " " : ", ") + event.text;
    if (event.checks.empty()) return out;
    const auto more = event.checks.size() - 1;
    return out + " (" + event.checks.front() + (more > 0 ? " and " + std::to_string(more) + " more" : "") + ")";
}

std::string why_text(const Verdict& verdict) {
    const Check* c = verdict.headline();
    if (c != nullptr) {
        const auto more = verdict.count(Outcome::failed) - 1;
        return c->found + " (" + std::string(c->id) + (more > 0 ? " and " + std::to_string(more) + " more" : "") + ")";
    }
    if (verdict.outcome() != Outcome::not_judged) return {};
    for (const auto& check : verdict.checks)
        if (check.outcome == Outcome::not_judged) return check.evidence;
    return {};
}

std::string explanation_text(const Explanation& explanation) {
    std::string out;
    for (const auto& p : explanation.set)
        out += (out.empty() ? "" : "; and ") + joined(p.parts, " or ") + ": channels " + joined(p.channels, ", ");
    if (!explanation.unexplained.empty())
        out += std::string(out.empty() ? "" : "; ") + "nothing shared by " + joined(explanation.unexplained, ", ");
    return out;
}

std::vector<Check> checks_worst_first(const Verdict& verdict) {
    std::vector<Check> out = verdict.checks;
    std::ranges::stable_sort(out, {}, &Check::outcome);
    return out;
}

std::string count_text(const LineupState& state) {
    std::string out = std::to_string(state.count(Outcome::passed)) + " right";
    if (const auto n = state.count(Outcome::failed); n > 0) out = std::to_string(n) + " failed, " + out;
    if (const auto n = state.count(Outcome::not_judged); n > 0) out += ", " + std::to_string(n) + " unsure";
    return out;
}

std::string clock_text(Duration since_epoch) {
    const std::time_t seconds = std::chrono::duration_cast<std::chrono::seconds>(since_epoch).count();
    std::tm local{};
    ::localtime_r(&seconds, &local);
    char text[16];
    return {text, std::strftime(text, sizeof text, "%H:%M:%S", &local)};
}

}  // namespace mastline
