// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/change_report.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "mastline/text/escape.hpp"
#include "mastline/text/shown_json.hpp"

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

struct NoticeWords {
    std::string_view id, text;
};
constexpr std::array<NoticeWords, 8> kNotices{{
    {"nothing", "nothing"},
    {"other-rate", "nothing: the rate changes at the same address"},
    {"other-tables", "a short break at the same address: decoders read PAT and PMT anew"},
    {"short-break", "a short break at the same address: one card stops, another starts"},
    {"long-break", "a long break at the same address: dark while a cable or other channels are moved"},
    {"retune", "must be given the new address, or join the new sender"},
    {"appears", "a new channel"},
    {"disappears", "the channel is gone"},
}};
const NoticeWords& words(Notice notice) { return kNotices[static_cast<std::size_t>(notice)]; }

constexpr std::array<std::string_view, 6> kSteps{"stop", "plug", "start", "set", "ready", "clear"};
std::string_view word(StepKind kind) { return kSteps[static_cast<std::size_t>(kind)]; }

std::string channel_of(const CarriageChange& c) {
    return c.channel + (c.copy == 2 ? " (2nd)" : "");
}

struct Counts {
    std::size_t moved = 0, readdressed = 0, added = 0, gone = 0, other = 0;
};
Counts count(const ChangeOrder& order) {
    Counts out;
    for (const auto& c : order.changes) {
        out.moved += c.moved;
        out.readdressed += c.readdressed;
        out.added += c.notice == Notice::appears;
        out.gone += c.notice == Notice::disappears;
        out.other += !c.moved && !c.readdressed && c.notice < Notice::appears;
    }
    return out;
}

std::string step_line(const ChangeOrder& order, std::size_t n, std::size_t columns) {
    const auto& step = order.steps[n];
    const auto& change = order.changes[step.change];
    std::string out = fmt::format("[ ] {:>3}. {:<5}  {:<{}}  ", n + 1, word(step.kind), channel_of(change), columns);
    if (step.kind == StepKind::plug) return out + step.note;
    out += "on " + step.card + "  " + to_text(step.flow);
    return out + (step.note.empty() ? "" : "  (" + step.note + ")");
}

}  // namespace

std::string change_text(const ChangeOrder& order) {
    const auto counts = count(order);
    std::string out = fmt::format("{}: from revision {} to {}\n", plain_line(order.venue), plain_line(order.old_revision),
                                  plain_line(order.new_revision));
    out += fmt::format("{} stay as they are; {} move to another card, {} get another address, {} are new, {} are gone, "
                       "{} change otherwise\n",
                       order.unchanged, counts.moved, counts.readdressed, counts.added, counts.gone, counts.other);
    if (order.changes.empty()) return out;
    std::size_t columns = 0;
    for (const auto& c : order.changes) columns = std::max(columns, channel_of(c).size());
    out += "\nSteps, in this order:\n";
    for (std::size_t n = 0; n < order.steps.size(); ++n) out += plain_line(step_line(order, n, columns)) + "\n";
    out += "\nWhat changes, and what displays notice:\n";
    for (const auto& c : order.changes) {
        std::string what;
        for (const auto& w : c.what) what += (what.empty() ? "" : "; ") + w;
        out += plain_line(fmt::format("{:<{}}  {}: {}", channel_of(c), columns, c.name, what)) + "\n";
        out += fmt::format("{:<{}}  displays: {}\n", "", columns, words(c.notice).text);
    }
    return out;
}

std::string change_json(const ChangeOrder& order) {
    Json changes = Json::array(), steps = Json::array();
    for (const auto& c : order.changes)
        changes.push_back({{"channel", c.channel}, {"copy", c.copy}, {"name", c.name}, {"what", c.what},
                           {"moved", c.moved}, {"readdressed", c.readdressed}, {"notice", words(c.notice).id}});
    for (const auto& s : order.steps) {
        const auto& c = order.changes[s.change];
        Json one{{"step", word(s.kind)}, {"channel", c.channel}, {"copy", c.copy}, {"card", s.card},
                 {"group", to_text(s.flow.group)}, {"port", s.flow.port.number}};
        if (!s.note.empty()) one["note"] = s.note;
        steps.push_back(std::move(one));
    }
    const Json out{{"schema", "mastline-change 1"}, {"venue", order.venue}, {"old_revision", order.old_revision},
                   {"new_revision", order.new_revision}, {"unchanged", order.unchanged},
                   {"changes", std::move(changes)}, {"steps", std::move(steps)}};
    return shown_json(out);
}

}  // namespace mastline
