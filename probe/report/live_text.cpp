// SPDX-License-Identifier: Apache-2.0
#include "probe/report/live_text.hpp"

#include <algorithm>
#include <ctime>

#include "probe/report/explanation_text.hpp"

namespace mastline {

namespace {

std::string sentence(const std::string& subject, const WatchEvent& event) {
    std::string out = subject + ": " + std::string(event_word(event.kind));
    if (!event.text.empty()) out += (event.checks.empty() ? " " : ", ") + event.text;
    if (event.checks.empty()) return out;
    const auto more = event.checks.size() - 1;
    return out + " (" + event.checks.front() + (more > 0 ? " and " + std::to_string(more) + " more" : "") + ")";
}

bool are_alike(const WatchEvent& a, const WatchEvent& b) {
    const auto check = [](const WatchEvent& e) { return e.checks.empty() ? std::string_view() : std::string_view(e.checks.front()); };
    return is_of_channel(a) && a.at == b.at && a.kind == b.kind && check(a) == check(b);
}

// Events from the newest on, all alike.
EventGroup one_group(const LineupState& state, const std::vector<WatchEvent>& events) {
    EventGroup out{events.front(), {}};
    std::vector<std::string> channels;
    for (auto e = events.rbegin(); e != events.rend(); ++e) {
        const auto& flow = state.lineup().flows[e->channel];
        channels.push_back(channel_text(flow.channel, flow.copy));
    }
    out.subject = channel_list(channels, kFewChannels);
    out.event.text.clear();
    if (out.event.checks.size() > 1) out.event.checks.resize(1);
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
    return sentence(event_subject(state, event), event);
}

std::string event_sentence(const EventGroup& group) { return sentence(group.subject, group.event); }

std::vector<EventGroup> grouped_events(const LineupState& state, std::size_t most) {
    constexpr std::size_t kApart = 3;
    std::vector<EventGroup> out;
    for (auto first = state.events().rbegin(); first != state.events().rend() && out.size() < most;) {
        const auto last = std::find_if_not(first, state.events().rend(), [&](const WatchEvent& e) { return are_alike(*first, e); });
        const std::vector<WatchEvent> alike(first, std::max(last, first + 1));
        if (alike.size() > kApart) out.push_back(one_group(state, alike));
        else for (const auto& e : alike) out.push_back({e, event_subject(state, e)});
        first += static_cast<std::ptrdiff_t>(alike.size());
    }
    if (out.size() > most) out.resize(most);
    return out;
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
