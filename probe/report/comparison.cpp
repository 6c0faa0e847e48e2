// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/comparison.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

#include "mastline/report/lineup_json.hpp"
#include "mastline/text/joined.hpp"
#include "probe/report/terminal_text.hpp"

namespace mastline {

namespace {

using nlohmann::json;

bool same_channel(const json& a, const json& b) { return a["channel"] == b["channel"] && a["copy"] == b["copy"]; }

const json* find_channel(const json& document, const json& wanted) {
    for (const auto& v : document["verdicts"])
        if (same_channel(v, wanted)) return &v;
    return nullptr;
}

std::vector<std::string> failed_checks(const json* verdict) {
    std::vector<std::string> out;
    if (verdict == nullptr) return out;
    for (const auto& c : (*verdict)["checks"])
        if (c["outcome"] == "failed") out.push_back(c["id"]);
    return out;
}

std::vector<std::string> without(const std::vector<std::string>& all, const std::vector<std::string>& taken) {
    std::vector<std::string> out;
    for (const auto& id : all)
        if (std::ranges::find(taken, id) == taken.end()) out.push_back(id);
    return out;
}

Turn turn_of(const json* before, const json* after) {
    if (after == nullptr) return Turn::removed;
    const bool fails = (*after)["outcome"] == "failed";
    if (before == nullptr) return fails ? Turn::broken : Turn::added;
    const bool failed = (*before)["outcome"] == "failed";
    if (fails) return failed ? Turn::still_failed : Turn::broken;
    if ((*after)["outcome"] == "not-judged") return Turn::unsure;
    return failed ? Turn::repaired : Turn::still_right;
}

std::string found_after(const json* after) {
    if (after == nullptr) return {};
    for (const auto& c : (*after)["checks"])
        if (c["outcome"] == "failed") return c["id"].get<std::string>() + ": " + c["found"].get<std::string>();
    return {};
}

ChannelChange change_of(const json* before, const json* after) {
    const json& any = after != nullptr ? *after : *before;
    const auto was = failed_checks(before), is = failed_checks(after);
    return {any["channel"], any["copy"], any["name"], turn_of(before, after), without(is, was), without(was, is), found_after(after)};
}

bool is_check(const json& c) {
    return c.is_object() && c.contains("id") && c["id"].is_string() && c.contains("outcome") && c["outcome"].is_string() &&
           c.contains("found") && c["found"].is_string();
}

bool is_verdict(const json& v) {
    if (!v.is_object() || !v.contains("channel") || !v["channel"].is_string() || !v.contains("copy") ||
        !v["copy"].is_number_integer() || !v.contains("name") || !v["name"].is_string() || !v.contains("outcome") ||
        !v["outcome"].is_string() || !v.contains("checks") || !v["checks"].is_array())
        return false;
    return std::ranges::all_of(v["checks"], is_check);
}

Tint tint(Turn t) {
    return t == Turn::broken || t == Turn::still_failed || t == Turn::removed ? Tint::bad
           : t == Turn::unsure                                              ? Tint::doubtful
                                                                            : Tint::good;
}

// "broken        103 Channel 3: flow.loss: 3 lost datagrams; no longer flow.order", whole in any width.
std::string change_lines(const ChannelChange& x, const TerminalStyle& style) {
    constexpr std::size_t kTurn = 12, kText = kTurn + 2;  // columns of the longest turn, and where the text begins
    std::string text = channel_text(x.channel, x.copy) + " " + x.name;
    std::string lead = ": ";
    const auto add = [&](const std::string& part) { text += lead + part, lead = "; "; };
    if (!x.found.empty()) add(x.found);
    if (x.newly_failed.size() > 1 || (x.newly_failed.size() == 1 && !x.found.starts_with(x.newly_failed[0])))
        add("now " + joined(x.newly_failed));
    if (!x.no_longer_failed.empty()) add("no longer " + joined(x.no_longer_failed));
    return tinted(to_text(x.turn), tint(x.turn), style) + wrapped(shown(text, style), kText, kText, style).substr(to_text(x.turn).size());
}

}  // namespace

std::string to_text(Turn turn) {
    switch (turn) {
        case Turn::broken: return "broken";
        case Turn::still_failed: return "still-failed";
        case Turn::removed: return "removed";
        case Turn::added: return "added";
        case Turn::repaired: return "repaired";
        case Turn::unsure: return "unsure";
        case Turn::still_right: return "still-right";
    }
    return {};
}

std::size_t Comparison::count(Turn t) const {
    return static_cast<std::size_t>(std::ranges::count(channels, t, &ChannelChange::turn));
}

std::string comparison_fault(const json& d) {
    const std::string wanted = "a verification is written by: mastline-probe verify --json FILE";
    if (!d.is_object() || !d.contains("schema") || d["schema"] != kVerificationSchema)
        return "schema is not \"" + std::string(kVerificationSchema) + "\"; " + wanted;
    for (const char* key : {"venue", "revision", "where"})
        if (!d.contains(key) || !d[key].is_string()) return std::string("\"") + key + "\" is missing or no text; " + wanted;
    if (!d.contains("verdicts") || !d["verdicts"].is_array()) return "\"verdicts\" is missing or no list; " + wanted;
    for (std::size_t i = 0; i < d["verdicts"].size(); ++i)
        if (!is_verdict(d["verdicts"][i])) return "verdict " + std::to_string(i + 1) + " is not complete; " + wanted;
    return {};
}

Comparison compare_verifications(const json& before, const json& after) {
    Comparison out{after["venue"], before["revision"], after["revision"], before["where"], after["where"], {}};
    for (const auto& v : after["verdicts"]) out.channels.push_back(change_of(find_channel(before, v), &v));
    for (const auto& v : before["verdicts"])
        if (find_channel(after, v) == nullptr) out.channels.push_back(change_of(&v, nullptr));
    std::ranges::stable_sort(out.channels, {}, &ChannelChange::turn);
    return out;
}

std::string terminal_comparison(const Comparison& c, const TerminalStyle& style) {
    std::string out;
    for (const auto& x : c.channels)
        if (x.turn != Turn::still_right) out += change_lines(x, style);
    if (!out.empty()) out += "\n";
    if (c.before_revision != c.after_revision)
        out += wrapped(shown("the plans differ: " + c.before_revision + " before, " + c.after_revision + " after", style), 0, 4, style);
    std::string text;
    for (const auto t : {Turn::broken, Turn::still_failed, Turn::removed, Turn::added, Turn::repaired, Turn::unsure, Turn::still_right})
        if (const auto n = c.count(t); n > 0) text += (text.empty() ? "" : ", ") + std::to_string(n) + " " + to_text(t);
    return out + wrapped((text.empty() ? "no channel in either" : text), 0, 0, style);
}

nlohmann::ordered_json comparison_json(const Comparison& c) {
    using Json = nlohmann::ordered_json;
    Json channels = Json::array();
    for (const auto& x : c.channels)
        channels.push_back({{"channel", x.channel}, {"copy", x.copy}, {"name", x.name}, {"turn", to_text(x.turn)},
                            {"newly_failed", x.newly_failed}, {"no_longer_failed", x.no_longer_failed}, {"found", x.found}});
    return {{"schema", kComparisonSchema},
            {"venue", c.venue},
            {"before", {{"revision", c.before_revision}, {"where", c.before_where}}},
            {"after", {{"revision", c.after_revision}, {"where", c.after_where}}},
            {"worse", c.worse()},
            {"channels", channels}};
}

}  // namespace mastline
