// SPDX-License-Identifier: Apache-2.0
// What a change repaired or broke, in the look of the verification's page.
#include "mastline/report/comparison.hpp"

#include <algorithm>

#include "mastline/text/escape.hpp"
#include "mastline/text/joined.hpp"
#include "probe/report/page_style.hpp"
#include "probe/report/terminal_text.hpp"

namespace mastline {

namespace {

std::string text(std::string_view plain) { return escape_markup(plain); }

std::string turn_class(Turn t) {
    switch (t) {
        case Turn::broken:
        case Turn::still_failed:
        case Turn::removed: return "failed";
        case Turn::unsure: return "doubt";
        default: return "right";
    }
}

std::string turn_mark(Turn t) {
    const std::string style = turn_class(t);
    return (style == "failed" ? "\u2717 " : style == "doubt" ? "? " : "\u2713 ") + to_text(t);
}

std::string sides(const Comparison& c) {
    const auto side = [](const std::string& name, const std::string& revision, const std::string& where) {
        return "<dt>" + name + "</dt><dd>plan " + text(revision) + ", " + text(where) + "</dd>";
    };
    return "<header><div><h1>What a change did to the lineup</h1><p>" + text(c.venue) + "</p></div><div class=\"box\"><dl>" +
           side("before", c.before_revision, c.before_where) + side("after", c.after_revision, c.after_where) +
           "<dt>channels</dt><dd>" + std::to_string(c.channels.size()) + "</dd></dl></div></header>\n";
}

std::string outcome(const Comparison& c) {
    constexpr Turn all[] = {Turn::broken, Turn::still_failed, Turn::removed, Turn::added, Turn::repaired, Turn::unsure, Turn::still_right};
    Turn worst = Turn::still_right;
    std::string counts;
    for (const auto t : all) {
        if (c.count(t) == 0) continue;
        worst = std::min(worst, t);
        counts += (counts.empty() ? "" : ", ") + std::to_string(c.count(t)) + " " + to_text(t);
    }
    return "<p class=\"result " + turn_class(worst) + "\">" + (counts.empty() ? "no channel in either" : counts) + "</p>\n";
}

std::string change_rows(const Comparison& c) {
    std::string out;
    for (const auto& x : c.channels) {
        if (x.turn == Turn::still_right) continue;
        out += "<tr class=\"" + turn_class(x.turn) + "\"><td class=\"mark\">" + turn_mark(x.turn) + "</td><td>" +
               text(channel_text(x.channel, x.copy)) + "</td><td>" + text(x.name) + "</td><td>" + text(x.found) + "</td><td>" +
               text(joined(x.newly_failed)) + "</td><td>" + text(joined(x.no_longer_failed)) + "</td></tr>\n";
    }
    return out;
}

std::string changes(const Comparison& c) {
    const std::string rows = change_rows(c);
    if (rows.empty()) return "<p>No channel differs.</p>\n";
    return "<h2>Channels, worst first</h2>\n" + wide_region("Channels, worst first") +
           "<table><thead><tr><th>Change</th><th>Channel</th><th>Name</th><th>Found afterwards</th><th>Fails now, not before</th>"
           "<th>Failed before, not now</th></tr></thead><tbody>\n" +
           rows + "</tbody></table></div>\n";
}

// The unchanged ones need no rows, but must be told: a channel that is not named was not looked at.
std::string unchanged(const Comparison& c) {
    if (c.count(Turn::still_right) == 0) return {};
    std::string names;
    for (const auto& x : c.channels)
        if (x.turn == Turn::still_right) names += (names.empty() ? "" : ", ") + channel_text(x.channel, x.copy);
    return "<h2>Right before and after</h2>\n<p>" + text(names) + "</p>\n";
}

}  // namespace

std::string comparison_page(const Comparison& c) {
    return "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
           "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><title>Comparison, " +
           text(c.venue) + "</title>\n<style>" + std::string(kPageStyle) + "</style></head>\n<body><main>\n" + sides(c) + outcome(c) +
           (c.before_revision == c.after_revision ? "" : "<p>The plans differ; what changed may be meant.</p>\n") + changes(c) +
           unchanged(c) + "</main></body></html>\n";
}

}  // namespace mastline
