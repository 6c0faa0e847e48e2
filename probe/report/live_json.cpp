// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/live_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "mastline/text/escape.hpp"
#include "mastline/text/shown_json.hpp"
#include "mastline/verdict/evidence.hpp"
#include "probe/report/explanation_text.hpp"
#include "probe/report/live_text.hpp"

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kShownEvents = 60;

std::string t(std::string_view text) { return plain_line(text); }

std::int64_t ms(Duration d) { return std::chrono::duration_cast<std::chrono::milliseconds>(d).count(); }

Json rate_json(const std::optional<BitRate>& rate) { return rate ? Json(rate->bits_per_second()) : Json(); }

Json event_json(const EventGroup& group) {
    const WatchEvent& event = group.event;
    Json out;
    out["number"] = event.number;
    out["at_ms"] = ms(event.at);
    out["kind"] = event_word(event.kind);
    out["who"] = t(group.subject);
    out["checks"] = event.checks;
    out["text"] = t(event.text);
    return out;
}

Json live_check_json(const Check& check) {
    Json out;
    out["check"] = t(check.id);
    out["outcome"] = t(to_text(check.outcome));
    out["expected"] = t(check.expected);
    out["found"] = t(check.found);
    out["evidence"] = t(check.evidence);
    return out;
}

// When it was on the air, or why there is none.
Json still_json(const Still& still) {
    Json out;
    out["at_ms"] = still.at ? Json(ms(*still.at)) : Json();
    if (still.jpeg.empty()) out["none"] = t(still.lack);
    return out;
}

Json channel_json(const ChannelState& c, Duration now, const Still* still) {
    const Verdict& v = c.look.verdict;
    Json out;
    out["channel"] = t(channel_text(v.channel, v.copy));
    out["name"] = t(v.name);
    out["group"] = to_text(v.flow);
    out["outcome"] = outcome_word(c.outcome);
    out["since_ms"] = ms(c.since);
    out["why"] = t(why_text(v));
    out["rate_bps"] = rate_json(c.look.rate);
    out["hour"] = history_text(c.history, now, 60);
    if (still != nullptr) out["still"] = still_json(*still);
    return out;
}

}  // namespace

std::string history_text(const ChannelHistory& history, Duration now, std::size_t parts) {
    std::string out;
    for (const auto& s : history.stretches(now, parts)) {
        if (s.looks == 0) out += ' ';
        else if (s.failed > 0) out += static_cast<char>('0' + std::max(1, static_cast<int>(std::lround(s.failed_share() * 9))));
        else out += s.unsure > 0 ? 'u' : '0';
    }
    return out;
}

std::string live_state_json(const LineupState& state, Duration window, const std::vector<Still>& stills) {
    Json out;
    out["schema"] = "mastline-watch-state 1";
    out["venue"] = t(state.lineup().venue);
    out["revision"] = t(state.lineup().revision);
    out["where"] = t(state.where());
    out["start_ms"] = ms(state.start());
    out["now_ms"] = ms(state.now());
    out["window_ms"] = ms(window);
    out["channels"] = Json::array();
    for (std::size_t i = 0; i < state.channels().size(); ++i)
        out["channels"].push_back(channel_json(state.channels()[i], state.now(), i < stills.size() ? &stills[i] : nullptr));
    out["causes"] = Json::array();
    for (const auto& x : state.explanations()) out["causes"].push_back(t(explanation_text(x, kFewChannels)));
    out["querier"] = live_check_json(state.querier());
    out["network"] = Json::array();
    for (const auto& c : state.network()) out["network"].push_back(live_check_json(c));
    out["own_drops"] = state.own_drops();
    out["events"] = Json::array();
    for (const auto& group : grouped_events(state, kShownEvents)) out["events"].push_back(event_json(group));
    return shown_json(out, -1);
}

std::string live_tick_json(const LineupState& state) {
    Json out;
    out["now_ms"] = ms(state.now());
    out["channels"] = Json::array();
    for (const auto& c : state.channels()) out["channels"].push_back(Json::array({outcome_word(c.outcome), rate_json(c.look.rate)}));
    return shown_json(out, -1);
}

std::string live_channel_json(const LineupState& state, std::size_t index, const Still* still) {
    const ChannelState& c = state.channels()[index];
    Json out = channel_json(c, state.now(), still);
    out["schema"] = "mastline-watch-channel 1";
    out["now_ms"] = ms(state.now());
    out["planned_bps"] = state.lineup().flows[index].rate.bits_per_second();
    out["parts"] = Json::array();
    for (const auto& p : c.look.verdict.parts) out["parts"].push_back(t(p));
    out["failures"] = c.failures;
    out["failed_for_ms"] = ms(c.failed_for);
    out["received_datagrams"] = c.look.counts.datagrams;
    out["lost_datagrams"] = c.look.counts.lost;
    out["continuity_errors"] = c.look.counts.continuity_errors;
    out["counts_from_ms"] = ms(c.look.counts_from);
    out["checks"] = Json::array();
    for (const auto& check : checks_worst_first(c.look.verdict)) {
        Json one = live_check_json(check);
        one["rule"] = t(rule_of(check.id));
        out["checks"].push_back(one);
    }
    out["minutes"] = Json::array();
    for (const auto& s : c.history.stretches(state.now(), 60))
        out["minutes"].push_back(s.looks == 0 ? Json() : Json::array({s.failed_share(), rate_json(s.rate)}));
    out["events"] = Json::array();
    for (auto e = state.events().rbegin(); e != state.events().rend() && out["events"].size() < kShownEvents; ++e)
        if (is_of_channel(*e) && e->channel == index) out["events"].push_back(event_json({*e, event_subject(state, *e)}));
    return shown_json(out, -1);
}

}  // namespace mastline
