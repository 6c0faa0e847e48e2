// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/terminal.hpp"
#include "probe/report/explanation_text.hpp"
#include "probe/report/latency_text.hpp"
#include "probe/report/terminal_text.hpp"

namespace mastline {

namespace {

std::string word(Outcome o) {
    switch (o) {
        case Outcome::failed: return "FAILED";
        case Outcome::not_judged: return "unsure";
        default: return "right";
    }
}

Tint tint(Outcome o) {
    return o == Outcome::failed ? Tint::bad : o == Outcome::not_judged ? Tint::doubtful : Tint::good;
}

std::string rate_text(const FlowObservation* seen) {
    if (seen == nullptr || !seen->stream) return "-";
    const auto rate = seen->stream->arrival_rate ? seen->stream->arrival_rate : seen->stream->rate;
    if (!rate) return "-";
    return fixed_text(static_cast<double>(rate->bits_per_second()) / 1e6, 2);
}

std::string headline_text(const Verdict& v) {
    const Check* c = v.headline();
    if (c == nullptr) {
        for (const auto& check : v.checks)
            if (check.outcome == Outcome::not_judged && v.outcome() == Outcome::not_judged)
                return check.evidence;
        return "";
    }
    const std::size_t more = v.count(Outcome::failed) - 1;
    return c->found + (more > 0 ? " (and " + std::to_string(more) + " more)" : "");
}

// The port that all flows share, which then stands in the heading alone.
std::optional<UdpPort> common_port(const LineupReport& report) {
    if (report.verdicts.empty()) return std::nullopt;
    const UdpPort port = report.verdicts.front().flow.port;
    const bool same = std::ranges::all_of(report.verdicts, [&](const Verdict& v) { return v.flow.port == port; });
    return same ? std::optional(port) : std::nullopt;
}

std::string group_text(const Verdict& v, bool without_port) {
    if (!without_port) return heard_text(v);
    return to_text(v.flow.group) + (v.interface.empty() ? "" : " on " + v.interface);
}

std::string table(const LineupReport& report, const TerminalStyle& style) {
    const auto port = common_port(report);
    const std::string group = port ? "group :" + std::to_string(port->number) : "group";
    TextTable out({"verdict", "channel", "name", group, "Mbit/s", "what is wrong"});
    for (const auto i : worst_first(report.verdicts)) {
        const Verdict& v = report.verdicts[i];
        out.add({word(v.outcome()), shown(channel_text(v.channel, v.copy), style),
                 shown(v.name, style), shown(group_text(v, port.has_value()), style), rate_text(observation_of(report, v)),
                 shown(headline_text(v), style)},
                tint(v.outcome()));
    }
    return out.text(style);
}

std::string check_lines(const Check& c, const TerminalStyle& style) {
    std::string text = std::string(c.id) + ": " + c.found;
    if (!c.expected.empty()) text += "; expected " + c.expected;
    if (!c.evidence.empty()) text += " (" + c.evidence + ")";
    return wrapped(shown(text, style), 2, 6, style);
}

std::string details(const LineupReport& report, const TerminalStyle& style) {
    std::string out;
    for (const auto& v : report.verdicts) {
        if (v.outcome() != Outcome::failed) continue;
        const std::string title = "channel " + channel_text(v.channel, v.copy) + " " + v.name + ", " + heard_text(v);
        out += "\n" + tinted(clipped(shown(title, style), style.width, style), Tint::strong, style) + "\n";
        for (const auto& c : v.checks)
            if (c.outcome == Outcome::failed) out += check_lines(c, style);
    }
    return out;
}

std::string causes(const LineupReport& report, const TerminalStyle& style) {
    std::string out;
    for (std::size_t i = 0; i < report.explanations.size(); ++i) {
        const std::string text = (i == 0 ? "What would explain it: " : "Or: ") + explanation_text(report.explanations[i], kEveryChannel);
        out += wrapped(shown(text, style), 0, 4, style);
    }
    return out.empty() ? out : "\n" + out;
}

std::string closing(const LineupReport& report, const TerminalStyle& style) {
    const std::size_t all = report.verdicts.size(), bad = report.count(Outcome::failed);
    const std::size_t unsure = report.count(Outcome::not_judged);
    std::string text = std::to_string(all - bad - unsure) + " of " + std::to_string(all) + " channels are right";
    if (bad > 0) text += ", " + std::to_string(bad) + " failed";
    if (unsure > 0) text += ", " + std::to_string(unsure) + " could not be judged";
    text += " (watched " + fixed_text(static_cast<double>(report.watched.count()) / 1e9, 1) + " s on " + report.where + ")";
    std::string out = "\n" + tinted(wrapped(shown(text, style), 0, 0, style), tint(report.outcome()), style);
    if (report.own_drops > 0)
        out += wrapped(std::to_string(report.own_drops) +
                           " datagrams reached this machine but were dropped by it; that is no fault of the network",
                       0, 0, style);
    return out;
}

std::string querier_line(const LineupReport& report, const TerminalStyle& style) {
    if (!report.querier) return {};
    const Check& c = report.querier->check;
    const std::string text = "querier: " + (c.outcome == Outcome::not_judged ? "not judged" : c.found) +
                             (c.evidence.empty() ? "" : " (" + c.evidence + ")");
    return "\n" + wrapped(shown(text, style), 0, 4, style);
}

std::string network_lines(const LineupReport& report, const TerminalStyle& style) {
    std::string out;
    for (const auto& c : report.network)
        out += wrapped(shown(std::string(c.id) + ": " + (c.found.empty() ? std::string(to_text(c.outcome)) : c.found) +
                                 " (" + c.evidence + ")", style), 0, 4, style);
    if (const auto text = latency_text(report.latencies); !text.empty()) out += wrapped(shown(text, style), 0, 4, style);
    return out;
}

}  // namespace

std::string terminal_lineup(const LineupReport& report, const TerminalStyle& style) {
    return table(report, style) + details(report, style) + causes(report, style) +
           querier_line(report, style) + network_lines(report, style) + closing(report, style);
}

}  // namespace mastline
