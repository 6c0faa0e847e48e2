// SPDX-License-Identifier: Apache-2.0
#include "mastline/watch/lineup_state.hpp"

#include <algorithm>
#include <numeric>

namespace mastline {

namespace {

std::vector<std::string> failed_checks(const Verdict& verdict) {
    std::vector<std::string> out;
    for (const auto& c : verdict.checks)
        if (c.outcome == Outcome::failed) out.emplace_back(c.id);
    return out;
}

// A flow that stopped is first silent, then absent: one fault.
bool is_silence(std::string_view check) { return check == "flow.steady" || check == "flow.arrival"; }

bool same_fault(std::string_view a, std::string_view b) { return a == b || (is_silence(a) && is_silence(b)); }

// Which check comes first changes with every look while several fail: only a new one is worth an event.
bool was_told(const ChannelState& c, const Check& check) {
    return std::ranges::any_of(c.told, [&](const std::string& told) { return same_fault(check.id, told); });
}

std::string two_digits(std::int64_t n) { return (n < 10 ? "0" : "") + std::to_string(n); }

}  // namespace

std::string rough_time(Duration length) {
    const auto seconds = std::max<std::int64_t>(0, std::chrono::duration_cast<std::chrono::seconds>(length).count());
    const auto minutes = seconds / 60, hours = minutes / 60;
    if (seconds < 60) return std::to_string(seconds) + " s";
    if (minutes < 60) return std::to_string(minutes) + " min";
    if (hours < 24) return std::to_string(hours) + " h " + two_digits(minutes % 60) + " min";
    return std::to_string(hours / 24) + " d " + std::to_string(hours % 24) + " h";
}

LineupState::LineupState(ExpectedLineup lineup, std::string where, Duration start)
    : lineup_(std::move(lineup)), where_(std::move(where)), start_(start), now_(start), channels_(lineup_.flows.size()) {
    for (std::size_t i = 0; i < channels_.size(); ++i) {
        const auto& e = lineup_.flows[i];
        channels_[i].look.verdict = {e.channel, e.copy, e.name, e.flow, e.parts, {}};
        channels_[i].since = start;
    }
    querier_ = {"network.querier", Outcome::not_judged, "one querier", {}, "nothing was looked at yet"};
}

bool LineupState::update_channel(std::size_t index, ChannelLook look, Duration at, std::vector<WatchEvent>& out) {
    ChannelState& c = channels_[index];
    const Outcome before = c.outcome;
    if (before == Outcome::failed) c.failed_for += at - now_;
    c.look = std::move(look);
    c.outcome = c.look.verdict.outcome();
    c.history.add(at, c.outcome, c.look.rate);
    const Check* headline = c.look.verdict.headline();
    if (headline != nullptr && (!c.failing_since || !was_told(c, *headline))) {
        const auto checks = failed_checks(c.look.verdict);
        out.push_back({0, at, c.failing_since ? EventKind::other_fault : EventKind::failed, index, checks, headline->found});
        c.told.insert(c.told.end(), checks.begin(), checks.end());
        if (!c.failing_since) ++c.failures;
        if (!c.failing_since) c.failing_since = at;
    } else if (c.outcome == Outcome::passed && c.failing_since) {
        out.push_back({0, at, EventKind::recovered, index, {}, "after " + rough_time(at - *c.failing_since)});
        c.failing_since.reset();
        c.told.clear();
    }
    if (c.outcome != before) c.since = at;
    return c.outcome != before;
}

void LineupState::explain_failures() {
    std::vector<Verdict> verdicts;
    for (const auto& c : channels_) verdicts.push_back(c.look.verdict);
    explanations_ = explain(verdicts);
}

void LineupState::update_querier(Check querier, std::vector<WatchEvent>& out) {
    const bool failed = querier.outcome == Outcome::failed, before = querier_.outcome == Outcome::failed;
    const std::string text = querier.found + (querier.evidence.empty() ? "" : "; " + querier.evidence);
    if (failed != before)
        out.push_back({0, now_, failed ? EventKind::network_failed : EventKind::network_recovered, 0, {std::string(querier.id)}, text});
    querier_ = std::move(querier);
}

std::vector<WatchEvent> LineupState::update(LineupLook look) {
    std::vector<WatchEvent> out;
    const Duration at = std::max(look.at, now_);
    bool changed = false;
    for (std::size_t i = 0; i < channels_.size() && i < look.channels.size(); ++i)
        changed = update_channel(i, std::move(look.channels[i]), at, out) || changed;
    now_ = at;
    update_querier(std::move(look.querier), out);
    network_ = std::move(look.network);
    own_drops_ = look.own_drops;
    if (changed) explain_failures();
    for (auto& event : out) {
        event.number = ++last_number_;
        events_.push_back(event);
        if (events_.size() > kMostEvents) events_.pop_front();
    }
    return out;
}

std::size_t LineupState::count(Outcome outcome) const {
    return static_cast<std::size_t>(std::ranges::count(channels_, outcome, &ChannelState::outcome));
}

std::vector<std::size_t> worst_first(const std::vector<ChannelState>& channels) {
    std::vector<std::size_t> out(channels.size());
    std::iota(out.begin(), out.end(), std::size_t{0});
    std::ranges::stable_sort(out, [&](std::size_t a, std::size_t b) {
        const auto &x = channels[a], &y = channels[b];
        if (x.outcome != y.outcome) return x.outcome < y.outcome;
        return x.outcome != Outcome::passed && x.since > y.since;
    });
    return out;
}

}  // namespace mastline
