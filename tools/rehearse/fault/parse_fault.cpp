// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/fault/parse_fault.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "mastline/mpeg/stream_kind.hpp"
#include "mastline/text/did_you_mean.hpp"
#include "tools/rehearse/fault/fault_value.hpp"

namespace mastline {

namespace {

using Error = std::string;

bool is_audio(std::string_view kind) {
    return kind.find("audio") != kind.npos || kind.find("aac") != kind.npos ||
           kind.find("ac3") != kind.npos;
}

// The first video or audio component, else the first of all.
Pid first_component(const Expectation& flow, bool video) {
    for (const auto& component : flow.components) {
        const auto kind = stream_kind_named(component.kind);
        if (kind && (video ? kind->video : is_audio(kind->name))) return component.pid;
    }
    return flow.components.empty() ? kNullPid : flow.components.front().pid;
}

std::vector<std::string_view> key_names(const FaultDoc& doc) {
    std::vector<std::string_view> out;
    for (const auto& key : doc.keys)
        if (!key.name.empty()) out.push_back(key.name);
    return out;
}

// KEY=VALUE among those of the kind.
std::optional<Error> set_parameter(Fault& fault, std::string_view text,
                                   const ExpectedLineup& lineup) {
    const FaultDoc& doc = doc_of(fault.kind);
    const auto equals = text.find('=');
    if (equals == std::string_view::npos)
        return fmt::format("\"{}\" is no parameter; one is written KEY=VALUE", text);
    const auto key = text.substr(0, equals);
    const auto known = key_names(doc);
    if (known.empty())
        return fmt::format("{} has no parameter \"{}\"; it takes none", doc.name, key);
    if (std::find(known.begin(), known.end(), key) == known.end())
        return fmt::format("{} has no parameter \"{}\"; {}", doc.name, key, suggestion(key, known));
    const auto error = set_fault_value(fault, key, text.substr(equals + 1), lineup);
    return error ? std::optional(fmt::format("{}: {}", key, *error)) : std::nullopt;
}

// START[+LENGTH]
std::optional<Error> set_window(Fault& fault, std::string_view text) {
    const auto plus = text.find('+');
    const auto begin = parse_fault_time(text.substr(0, plus));
    if (!begin) return "start: " + begin.error();
    fault.window.begin = *begin;
    if (plus == std::string_view::npos) return std::nullopt;
    const auto length = parse_fault_time(text.substr(plus + 1));
    if (!length) return "length: " + length.error();
    fault.window.end = *begin + *length;
    return std::nullopt;
}

std::string_view next_field(std::string_view& rest, char separator) {
    const auto at = rest.find(separator);
    const auto field = rest.substr(0, at);
    rest = at == std::string_view::npos ? std::string_view() : rest.substr(at + 1);
    return field;
}

Parsed<FaultKind, Error> kind_named(std::string_view name) {
    std::vector<std::string_view> known;
    for (const auto& doc : kFaultDocs) {
        if (doc.name == name) return doc.kind;
        known.push_back(doc.name);
    }
    return fmt::format("unknown fault \"{}\"; {}", name, suggestion(name, known));
}

// The values that hold when none is given.
void set_standards(Fault& fault, const ExpectedLineup& lineup) {
    const Expectation& flow = lineup.flows[fault.flow];
    for (const auto& key : doc_of(fault.kind).keys)
        if (!key.standard.empty()) set_fault_value(fault, key.name, key.standard, lineup);
    if (fault.kind == FaultKind::wrong_service)
        fault.other = (fault.flow + 1) % lineup.flows.size();
    if (fault.kind == FaultKind::no_pmt)
        fault.pid = flow.pmt_pid;
    else
        fault.pid = first_component(flow, fault.kind != FaultKind::no_component);
}

}  // namespace

Parsed<Fault, std::string> parse_fault(std::string_view text, const ExpectedLineup& lineup) {
    const auto colon = text.find(':');
    if (colon == std::string_view::npos)
        return fmt::format(
            "\"{}\" names no fault; one is written CHANNEL:KIND[@START[+LENGTH]][,KEY=VALUE]",
            text);
    const auto flow = find_flow(text.substr(0, colon), lineup);
    if (!flow) return flow.error();
    std::string_view parameters = text.substr(colon + 1);
    std::string_view when = next_field(parameters, ',');
    const bool timed = when.find('@') != std::string_view::npos;
    const auto kind = kind_named(next_field(when, '@'));
    if (!kind) return kind.error();
    Fault fault{*kind, *flow};
    set_standards(fault, lineup);
    if (timed)
        if (const auto error = set_window(fault, when)) return *error;
    while (!parameters.empty())
        if (const auto error = set_parameter(fault, next_field(parameters, ','), lineup))
            return *error;
    if (fault.kind == FaultKind::wrong_service && fault.other == fault.flow)
        return fmt::format("{}: another channel is needed; the plan has {}", doc_of(*kind).name,
                           lineup.flows.size());
    return fault;
}

std::string fault_list() {
    std::string out;
    for (const auto& doc : kFaultDocs) {
        out += fmt::format("{:<14} {}\n", doc.name, doc.meaning);
        for (const auto& key : doc.keys)
            if (!key.name.empty())
                out += fmt::format("{:<14}   {}= {}: {}{}\n", "", key.name, key.form, key.meaning,
                                   key.standard.empty() ? "" : fmt::format("; {}", key.standard));
    }
    return out;
}

}  // namespace mastline
