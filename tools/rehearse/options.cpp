// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/options.hpp"

#include <algorithm>

#include "tools/rehearse/fault/fault_value.hpp"
#include "tools/rehearse/fault/parse_fault.hpp"
#include "tools/rehearse/stream/check_sendable.hpp"

namespace mastline {

namespace {

void refuse(Findings& findings, std::string option, std::string what, std::string cure = {}) {
    findings.push_back({Severity::error,
                        "usage.bad-option",
                        std::move(option),
                        std::move(what),
                        {},
                        std::move(cure),
                        {}});
}

void read_play(const std::string& text, const ExpectedLineup& lineup, Wishes& out,
               Findings& findings) {
    const auto equals = text.find('=');
    if (equals == std::string::npos || equals + 1 == text.size())
        return refuse(findings, "--play " + text, "no file is named", "write --play CHANNEL=FILE");
    const auto flow = find_flow(text.substr(0, equals), lineup);
    if (!flow) return refuse(findings, "--play " + text, flow.error());
    out.plays.push_back({*flow, text.substr(equals + 1)});
}

void read_scope(const std::string& text, bool announce, Wishes& out, Findings& findings) {
    const auto scope = parse_group_span(text);
    if (!announce) refuse(findings, "--scope " + text, "it says where sessions are announced", "add --announce");
    if (scope) out.scopes.push_back(*scope);
    else refuse(findings, "--scope " + text, scope.error().message);
}

void check_low_rate(const Fault& fault, const std::string& text, const Wishes& wishes,
                    const ExpectedLineup& lineup, Findings& findings) {
    const bool played = std::any_of(wishes.plays.begin(), wishes.plays.end(),
                                    [&](const PlayRequest& p) { return p.flow == fault.flow; });
    if (played)
        return refuse(findings, "--fault " + text, "a played file has its own rate",
                      "low-rate is for channels that are made from the plan");
    const Expectation& flow = lineup.flows[fault.flow];
    const BitRate slow(flow.rate.bits_per_second() * fault.percent / 100);
    const BitRate least = ChannelStream::least_rate(flow);
    if (slow < least)
        refuse(findings, "--fault " + text,
               to_text(slow) + " does not hold the tables and components",
               "at least " + to_text(least));
}

}  // namespace

Wishes understand(const Arguments& arguments, const ExpectedLineup& lineup, Findings& findings) {
    Wishes out;
    for (const auto& text : arguments.plays) read_play(text, lineup, out, findings);
    for (const auto& text : arguments.faults) {
        const auto fault = parse_fault(text, lineup);
        if (!fault) {
            refuse(findings, "--fault " + text, fault.error());
            continue;
        }
        if (fault->kind == FaultKind::low_rate) check_low_rate(*fault, text, out, lineup, findings);
        out.faults.push_back(*fault);
    }
    for (const auto& text : arguments.scopes) read_scope(text, arguments.announce, out, findings);
    if (arguments.duration.empty()) return out;
    const auto duration = parse_duration(arguments.duration);
    if (!duration)
        refuse(findings, "--for", duration.error().message);
    else if (*duration <= Duration(0))
        refuse(findings, "--for", "nothing would be sent", "more than 0 s");
    else
        out.duration = *duration;
    return out;
}

}  // namespace mastline
