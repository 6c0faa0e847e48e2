// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/page.hpp"

#include "mastline/text/escape.hpp"
#include "probe/report/explanation_text.hpp"
#include "probe/report/latency_text.hpp"
#include "probe/report/page_style.hpp"
#include "probe/report/still_cell.hpp"
#include "probe/report/time_charts.hpp"

namespace mastline {

namespace {

std::string e(std::string_view text) { return escape_markup(text); }

std::string row_class(Outcome o) {
    return o == Outcome::failed ? "failed" : o == Outcome::not_judged ? "doubt" : "right";
}

std::string mark(Outcome o) {
    return o == Outcome::failed ? "✗ failed" : o == Outcome::not_judged ? "? unsure" : "✓ right";
}

std::string rate(const FlowObservation* seen) {
    if (seen == nullptr || !seen->stream) return "";
    const auto r = seen->stream->arrival_rate ? seen->stream->arrival_rate : seen->stream->rate;
    return r ? fixed_text(static_cast<double>(r->bits_per_second()) / 1e6, 2) : "";
}

std::string title_block(const LineupReport& r) {
    const auto entry = [](const std::string& name, const std::string& value) {
        return "<dt>" + name + "</dt><dd>" + e(value) + "</dd>";
    };
    return "<header><div><h1>Verification of the lineup</h1><p>" + e(r.venue) +
           "</p></div><div class=\"box\"><dl>" + entry("plan", r.revision) + entry("listened on", r.where) +
           entry("watched", fixed_text(static_cast<double>(r.watched.count()) / 1e9, 1) + " s") +
           entry("channels", std::to_string(r.verdicts.size())) + "</dl></div></header>\n";
}

std::string result(const LineupReport& r) {
    const std::size_t all = r.verdicts.size(), bad = r.count(Outcome::failed);
    std::string text = std::to_string(r.count(Outcome::passed)) + " of " + std::to_string(all) +
                       " channels are right";
    if (bad > 0) text += ", " + std::to_string(bad) + " failed";
    if (r.count(Outcome::not_judged) > 0)
        text += ", " + std::to_string(r.count(Outcome::not_judged)) + " could not be judged";
    return "<p class=\"result " + row_class(r.outcome()) + "\">" + text + "</p>\n";
}

// The capture of a verdict, from this page; empty: there is none.
std::string capture_of(const LineupReport& r, const Verdict& v, const std::string& link) {
    if (!r.evidence) return {};
    for (const auto& item : r.evidence->items)
        if (item.channel == v.channel && item.copy == v.copy && !item.file.empty()) return escape_markup(link_text(link + "/" + item.file));
    return {};
}

// The check that tells most, and the ways to all of them and to the capture.
std::string wrong(const LineupReport& r, std::size_t i, const std::string& link) {
    const Verdict& v = r.verdicts[i];
    const Check* c = v.headline();
    if (c == nullptr) return {};
    const std::string capture = capture_of(r, v, link);
    return e(std::string(c->id) + ": " + c->found) + " <a href=\"#d-" + std::to_string(i) + "\">all checks</a>" +
           (capture.empty() ? "" : ", <a href=\"" + capture + "\">capture</a>");
}

std::string over_time(const LineupReport& r, const FlowObservation* seen) {
    return seen == nullptr || !seen->course ? std::string() : course_charts(*seen->course, r);
}

std::string lineup_table(const LineupReport& r, const std::string& link) {
    const bool stills = !r.stills.empty();
    std::string out = wide_region("Channels, worst first") + "<table><thead><tr><th>Verdict</th><th>Channel</th><th>Name</th>" + std::string(stills ? "<th>Still</th>" : "") +
                      "<th>Group</th><th>Mbit/s</th><th>Rate and delay factor over time</th><th>What is wrong</th></tr></thead><tbody>\n";
    for (const auto i : worst_first(r.verdicts)) {
        const Verdict& v = r.verdicts[i];
        const auto* seen = observation_of(r, v);
        out += "<tr class=\"" + row_class(v.outcome()) + "\" id=\"v-" + std::to_string(i) + "\"><td class=\"mark\">" + mark(v.outcome()) +
               "</td><td>" + e(channel_text(v.channel, v.copy)) + "</td><td>" + e(v.name) + "</td>" + (stills ? still_cell(r, i) : std::string()) + "<td>" + e(heard_text(v)) +
               "</td><td class=\"number\">" + rate(seen) + "</td><td>" + over_time(r, seen) + "</td><td>" + wrong(r, i, link) + "</td></tr>\n";
    }
    return out + "</tbody></table></div>\n";
}

std::string checks_table(const Verdict& v) {
    std::string out = wide_region("Checks of channel " + e(channel_text(v.channel, v.copy))) + "<table><thead><tr><th>Outcome</th><th>Check</th><th>Expected</th>"
                      "<th>Found</th><th>Evidence</th></tr></thead><tbody>\n";
    std::vector<Check> checks = v.checks;
    std::ranges::stable_sort(checks, {}, &Check::outcome);
    for (const auto& c : checks)
        out += "<tr class=\"" + row_class(c.outcome) + "\"><td class=\"mark\">" + e(to_text(c.outcome)) +
               "</td><td>" + e(c.id) + "</td><td>" + e(c.expected) + "</td><td>" + e(c.found) + "</td><td>" +
               e(c.evidence) + "</td></tr>\n";
    return out + "</tbody></table></div>\n";
}

std::string failures(const LineupReport& r) {
    if (r.count(Outcome::failed) == 0) return {};
    std::string out = "<h2>Failed channels, check by check</h2>\n";
    for (const auto i : worst_first(r.verdicts))
        if (const Verdict& v = r.verdicts[i]; v.outcome() == Outcome::failed)
            out += "<h3 id=\"d-" + std::to_string(i) + "\">Channel " + e(channel_text(v.channel, v.copy)) + " " + e(v.name) + ", " +
                   e(heard_text(v)) + "</h3>\n" + checks_table(v);
    return out;
}

std::string causes(const LineupReport& r) {
    if (r.explanations.empty()) return {};
    std::string out = "<h2>What would explain it</h2>\n<ol>\n";
    for (const auto& x : r.explanations) out += "<li>" + e(explanation_text(x, kEveryChannel)) + "</li>\n";
    return out + "</ol>\n";
}

// Where the captures of the failed verdicts are, and the way there from this page.
std::string evidence(const LineupReport& r, const std::string& link) {
    if (!r.evidence || r.evidence->items.empty()) return {};
    const std::string index = escape_markup(link_text(link + "/index.html"));
    std::string out = "<h2>Evidence</h2>\n<p>Captures of what came before and after the first fault, with what to look at: "
                      "<a href=\"" + index + "\">" + e(link) + "/index.html</a></p>\n<ul>\n";
    for (const auto& item : r.evidence->items)
        if (!item.file.empty())
            out += "<li>Channel " + e(channel_text(item.channel, item.copy)) + ": <a href=\"" +
                   escape_markup(link_text(link + "/" + item.file)) + "\">" + e(item.file) + "</a>, " +
                   std::to_string(item.packets) + " packets</li>\n";
    return out + "</ul>\n";
}

std::string network(const LineupReport& r) {
    if (!r.querier) return {};
    const Check& c = r.querier->check;
    const std::string text = std::string(to_text(c.outcome)) + (c.found.empty() ? "" : ": " + c.found) +
                             (c.evidence.empty() ? "" : " (" + c.evidence + ")");
    return "<h2>Querier</h2>\n<p>" + e(text) + "</p>\n";
}

std::string arrivals(const LineupReport& r) {
    if (r.network.empty()) return {};
    std::string out = "<h2>The network</h2>\n<ul>\n";
    for (const auto& c : r.network)
        out += "<li>" + e(std::string(c.id) + ", " + std::string(to_text(c.outcome)) + ": " + c.found +
                          (c.evidence.empty() ? "" : " (" + c.evidence + ")")) + "</li>\n";
    return out + "</ul>\n";
}

std::string latencies(const LineupReport& r) {
    const std::string summary = latency_text(r.latencies);
    if (summary.empty()) return {};
    const auto cell = [](const std::optional<Duration>& d) {
        return "<td class=\"number\">" + (d ? fixed_text(static_cast<double>(d->count()) / 1e6, 1) : std::string()) + "</td>";
    };
    std::string out = "<h2>Joining and leaving</h2>\n<p>" + e(summary) + "</p>\n" + wide_region("Joining and leaving") +
                      "<table><thead><tr><th>Group</th><th>First datagram after ms</th><th>First picture after ms</th>"
                      "<th>Last datagram after the leave, ms</th></tr></thead><tbody>\n";
    for (const auto& l : r.latencies)
        out += "<tr><td>" + e(to_text(l.flow)) + "</td>" + cell(l.to_first_datagram) + cell(l.to_first_access) +
               cell(l.to_last_datagram) + "</tr>\n";
    return out + "</tbody></table></div>\n";
}

}  // namespace

std::string lineup_page(const LineupReport& r, const std::string& evidence_link) {
    return "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
           "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><title>Verification of " +
           e(r.venue) + "</title>\n<style>" + std::string(kPageStyle) + std::string(kTimeChartStyle) + std::string(r.stills.empty() ? "" : kStillStyle) + "</style></head>\n<body>\n" + title_block(r) +
           result(r) + causes(r) + event_timeline(r) + "<h2>Channels, worst first</h2>\n" + lineup_table(r, evidence_link) + failures(r) + evidence(r, evidence_link) + network(r) + arrivals(r) +
           latencies(r) + "</body></html>\n";
}

}  // namespace mastline
