// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/live_screen.hpp"

#include <algorithm>
#include <array>

#include "mastline/units/unit_text.hpp"
#include "probe/report/explanation_text.hpp"
#include "probe/report/live_text.hpp"
#include "probe/report/terminal_text.hpp"

namespace mastline {

namespace {

Tint tint_of(Outcome o) { return o == Outcome::failed ? Tint::bad : o == Outcome::not_judged ? Tint::doubtful : Tint::good; }

std::string mark(Outcome o, const TerminalStyle& style) {
    if (!style.utf8) return o == Outcome::failed ? "FAILED" : std::string(outcome_word(o));
    return (o == Outcome::failed ? "\u2717 " : o == Outcome::not_judged ? "? " : "\u2713 ") + std::string(outcome_word(o));
}

std::string rate_text(const std::optional<BitRate>& rate) {
    return rate ? fixed_text(static_cast<double>(rate->bits_per_second()) / 1e6, 2) : "-";
}

std::string right_aligned(const std::string& text, std::size_t columns) {
    return std::string(columns - std::min(columns, text.size()), ' ') + text;
}

std::string rule(const TerminalStyle& style, const std::vector<std::size_t>& posts) {
    std::string out;
    for (std::size_t i = 0; i < style.width; ++i) {
        const bool post = std::ranges::find(posts, i) != posts.end();
        out += style.utf8 ? (post ? "\u252C" : "\u2500") : (post ? "+" : "-");
    }
    return out;
}

// A rule with words in it: "── what happened ─────".
std::string titled_rule(const std::string& title, const TerminalStyle& style) {
    const std::string dash = style.utf8 ? "\u2500" : "-";
    std::string out = dash + dash + " " + title + " ";
    for (std::size_t used = title.size() + 4; used < style.width; ++used) out += dash;
    return out;
}

// How wide each column is; the last one takes what is left. A narrow screen has no hour.
struct Columns {
    std::size_t mark = 8, channel = 3, name = 4, rate = 6, hour = 12;
    std::size_t used() const { return 2 + mark + channel + name + rate + hour + (hour > 0 ? 5 : 4); }
};

Columns columns_for(const LineupState& state, const TerminalStyle& style) {
    Columns out;
    const bool narrow = style.width < 64;
    out.hour = style.width >= 150 ? 60 : style.width >= 110 ? 30 : narrow ? 0 : 12;
    for (const auto& c : state.channels()) {
        const Verdict& v = c.look.verdict;
        out.channel = std::max(out.channel, columns_of(shown(channel_text(v.channel, v.copy), style)));
        out.name = std::max(out.name, columns_of(shown(v.name, style)));
        out.rate = std::max(out.rate, rate_text(c.look.rate).size());
    }
    out.channel = std::min<std::size_t>(out.channel, narrow ? 5 : 11);
    out.name = std::min<std::size_t>(out.name, style.width >= 110 ? 28 : narrow ? 8 : 16);
    return out;
}

std::string why_line(const ChannelState& c, Duration now) {
    const std::string since = rough_time(now - c.since);
    const Check* headline = c.look.verdict.headline();
    const auto more = c.look.verdict.count(Outcome::failed);
    const std::string why = headline == nullptr ? why_text(c.look.verdict)
                                                : headline->found + (more > 1 ? ", " + std::to_string(more - 1) + " more" : "");
    return why.empty() ? since : since + ": " + why;
}

std::string heading(const Columns& w, const TerminalStyle& style) {
    const std::string hour = w.hour >= 30 ? "last hour, " + std::to_string(60 / w.hour) + " min each" : "last hour";
    const std::string text = "  " + padded("verdict", w.mark, style) + " " + padded("no.", w.channel, style) + " " +
                             padded("name", w.name, style) + " " + right_aligned("Mbit/s", w.rate) + " " +
                             (w.hour > 0 ? padded(hour, w.hour, style) + " " : "") + "since, and why";
    return tinted(clipped(text, style.width, style), Tint::strong, style);
}

std::string channel_row(const LineupState& state, std::size_t index, bool marked, const Columns& w, const TerminalStyle& style) {
    const ChannelState& c = state.channels()[index];
    const Verdict& v = c.look.verdict;
    const std::size_t rest = style.width > w.used() ? style.width - w.used() : 0;
    return std::string(marked ? "> " : "  ") + tinted(padded(mark(c.outcome, style), w.mark, style), tint_of(c.outcome), style) + " " +
           padded(shown(channel_text(v.channel, v.copy), style), w.channel, style) + " " + padded(shown(v.name, style), w.name, style) +
           " " + right_aligned(rate_text(c.look.rate), w.rate) + " " +
           (w.hour > 0 ? hour_text(c.history, state.now(), w.hour, style) + " " : "") + clipped(shown(why_line(c, state.now()), style), rest, style);
}

std::vector<std::string> table(const LineupState& state, const ScreenChoice& choice, const TerminalStyle& style, std::size_t rows) {
    const auto list = listed_channels(state, choice);
    const Columns w = columns_for(state, style);
    std::vector<std::string> out{heading(w, style)};
    const auto found = choice.channel ? std::ranges::find(list, *choice.channel) : list.end();
    const auto at = found == list.end() ? std::size_t{0} : static_cast<std::size_t>(found - list.begin());
    const std::size_t fitting = rows - 1, top = at < fitting ? 0 : at - fitting + 1;
    for (std::size_t i = top; i < list.size() && out.size() < rows; ++i)
        out.push_back(channel_row(state, list[i], found != list.end() && i == at, w, style));
    if (list.empty()) out.push_back("  no channel matches \"" + clipped(shown(choice.filter, style), style.width / 2, style) + "\"; Esc clears it");
    return out;
}

void add_wrapped(std::vector<std::string>& out, const std::string& text, std::size_t indent, const TerminalStyle& style) {
    const std::string lines = wrapped(text, indent, indent + 2, style);
    for (std::size_t from = 0; from < lines.size();) {
        const auto end = lines.find('\n', from);
        out.push_back(clipped(lines.substr(from, end - from), style.width, style));
        from = end + 1;
    }
}

std::vector<std::string> check_lines(const Verdict& verdict, const TerminalStyle& style) {
    std::vector<std::string> out;
    for (const auto& c : checks_worst_first(verdict)) {
        const std::string word = padded(to_text(c.outcome), 10, style);
        std::string text = std::string(c.id);
        if (!c.found.empty()) text += ": " + c.found;
        if (c.outcome == Outcome::failed && !c.expected.empty()) text += "; expected " + c.expected;
        if (c.outcome != Outcome::passed && !c.evidence.empty()) text += " (" + c.evidence + ")";
        const std::size_t room = style.width - 13;
        out.push_back("  " + tinted(word, tint_of(c.outcome), style) + " " + clipped(shown(text, style), room, style));
        if (c.outcome == Outcome::failed && columns_of(shown(text, style)) > room) {
            out.pop_back();
            std::vector<std::string> lines;
            TerminalStyle narrow = style;
            narrow.width = room;
            add_wrapped(lines, shown(text, style), 0, narrow);
            for (std::size_t i = 0; i < lines.size(); ++i)
                out.push_back((i == 0 ? "  " + tinted(word, tint_of(c.outcome), style) + " " : std::string(13, ' ')) + lines[i]);
        }
    }
    return out;
}

std::string failures_text(const ChannelState& c) {
    if (c.failures == 0) return "never failed";
    return "failed " + (c.failures == 1 ? std::string("once") : std::to_string(c.failures) + " times") + ", " + rough_time(c.failed_for) + " altogether";
}

std::vector<std::string> one_channel(const LineupState& state, const ScreenChoice& choice, const TerminalStyle& style, std::size_t rows) {
    const std::size_t index = choice.channel.value_or(0);
    const ChannelState& c = state.channels()[index];
    const Verdict& v = c.look.verdict;
    std::vector<std::string> out;
    out.push_back(tinted(clipped(mark(c.outcome, style) + "  " + shown(channel_text(v.channel, v.copy) + " " + v.name, style), style.width, style), tint_of(c.outcome), style));
    add_wrapped(out, shown(to_text(v.flow) + ", " + rate_text(c.look.rate) + " Mbit/s (planned " + to_text(state.lineup().flows[index].rate) + "), since " +
                               clock_text(c.since) + " (" + rough_time(state.now() - c.since) + "), " + failures_text(c) + "; " + std::to_string(c.look.counts.lost) + " datagrams lost, " +
                               std::to_string(c.look.counts.continuity_errors) + " continuity errors", style), 2, style);
    std::string parts;
    for (const auto& p : v.parts) parts += (parts.empty() ? "rests on " : ", ") + p;
    if (!parts.empty()) add_wrapped(out, shown(parts, style), 2, style);
    const std::size_t cells = style.width >= 80 ? 60 : 30;
    out.push_back("  1 h ago " + hour_text(c.history, state.now(), cells, style) + " now");
    out.push_back("");
    const auto lines = check_lines(v, style);
    const std::size_t room = rows > out.size() ? rows - out.size() : 0;
    const std::size_t most = lines.size() > room ? lines.size() - room : 0;
    for (std::size_t i = std::min(choice.scrolled, most); i < lines.size() && out.size() < rows; ++i) out.push_back(lines[i]);
    return out;
}

std::vector<std::string> happenings(const LineupState& state, const TerminalStyle& style, std::size_t rows) {
    std::vector<std::string> out{titled_rule("what happened", style)};
    if (state.events().empty()) out.push_back("  nothing since " + clock_text(state.start()));
    for (const auto& group : grouped_events(state, rows - 1))
        out.push_back(clipped("  " + clock_text(group.event.at) + "  " + shown(event_sentence(group), style), style.width, style));
    return out;
}

std::string result_line(const LineupState& state, const TerminalStyle& style) {
    const Outcome worst = state.count(Outcome::failed) > 0 ? Outcome::failed : state.count(Outcome::not_judged) > 0 ? Outcome::not_judged : Outcome::passed;
    return tinted(clipped("  " + count_text(state) + " of " + std::to_string(state.channels().size()) + " channels", style.width, style), tint_of(worst), style);
}

std::string second_line(const LineupState& state, const ScreenChoice& choice, const TerminalStyle& style) {
    std::string text;
    if (choice.typing) text = "find: " + choice.filter + "_";
    else if (!choice.filter.empty()) text = "only what has \"" + choice.filter + "\"";
    else if (!state.explanations().empty()) text = "shared: " + explanation_text(state.explanations().front(), kFewChannels);
    else if (state.querier().outcome == Outcome::failed) text = "querier: " + state.querier().evidence;
    else if (state.own_drops() > 0) text = "this machine itself dropped " + std::to_string(state.own_drops()) + " datagrams";
    else text = choice.remark;
    return clipped("  " + shown(text, style), style.width, style);
}

std::string order_word(ChannelOrder order) {
    constexpr std::array<const char*, 4> words{"worst first", "lineup", "name", "rate"};
    return words[static_cast<std::size_t>(order)];
}

std::string key_line(const ScreenChoice& choice, const TerminalStyle& style) {
    const std::string arrows = style.utf8 ? "\u2191\u2193" : "Up Down";
    if (choice.typing) return "Enter keep  Esc clear";
    if (choice.open) return arrows + " scroll  Enter back  q quit";
    return arrows + " Enter open  s " + order_word(choice.order) + "  / find  q quit";
}

// The title block of the sheet: keys, venue and plan, time of the last look.
std::vector<std::string> foot(const LineupState& state, const ScreenChoice& choice, const TerminalStyle& style) {
    const std::string post = style.utf8 ? "\u2502" : "|";
    const std::string clock = " " + clock_text(state.now());
    // As wide as the longest line of keys, where that fits.
    const std::size_t keys = std::min<std::size_t>(style.utf8 ? 46 : 51, style.width - clock.size() - 4);
    const std::size_t middle = style.width - keys - clock.size() - 2;
    const std::string name = shown(state.lineup().venue + ", plan " + state.lineup().revision + ", " + state.where(), style);
    return {rule(style, {keys, keys + 1 + middle}),
            padded(" " + key_line(choice, style), keys, style) + post + padded(" " + name, middle, style) + post + clock};
}

}  // namespace

std::string hour_text(const ChannelHistory& history, Duration now, std::size_t parts, const TerminalStyle& style) {
    constexpr std::array<const char*, 4> bars{"\u2582", "\u2584", "\u2586", "\u2588"};
    std::string out;
    for (const auto& s : history.stretches(now, parts)) {
        if (s.looks == 0) out += ' ';
        else if (s.failed == 0 && s.unsure > 0) out += '?';
        else if (s.failed == 0) out += style.utf8 ? "\u00B7" : ".";
        else if (!style.utf8) out += s.failed_share() < 0.5 ? '!' : '#';
        else out += bars[std::min<std::size_t>(3, static_cast<std::size_t>(s.failed_share() * 4))];
    }
    return out;
}

std::string live_screen(const LineupState& state, const ScreenChoice& choice, const TerminalStyle& style, std::size_t rows) {
    const std::size_t events = rows >= 40 ? 9 : rows >= 20 ? 4 : 2, body = rows - 4 - events;
    std::vector<std::string> lines{result_line(state, style), second_line(state, choice, style)};
    for (auto& line : choice.open ? one_channel(state, choice, style, body) : table(state, choice, style, body)) lines.push_back(std::move(line));
    lines.resize(2 + body);
    for (auto& line : happenings(state, style, events)) lines.push_back(std::move(line));
    lines.resize(2 + body + events);
    for (auto& line : foot(state, choice, style)) lines.push_back(std::move(line));
    std::string out;
    for (const auto& line : lines) out += (&line == lines.data() ? "" : "\n") + line;
    return out;
}

}  // namespace mastline
