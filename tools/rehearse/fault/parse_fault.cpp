// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/fault/parse_fault.hpp"

#include <algorithm>
#include <charconv>

#include <fmt/format.h>

#include "mastline/mpeg/stream_kind.hpp"
#include "mastline/text/did_you_mean.hpp"

namespace mastline {

namespace {

using Error = std::string;

std::optional<std::int64_t> whole_number(std::string_view text) {
    std::int64_t value = 0;
    const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (ec != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

Parsed<PcrTicks, Error> ticks(std::string_view text) {
    const auto duration = parse_duration(text);
    if (!duration) return duration.error().message;
    if (*duration < Duration(0) || *duration > std::chrono::hours(24 * 365))
        return fmt::format("\"{}\" is out of range; from 0 s to 365 days", text);
    return std::chrono::duration_cast<PcrTicks>(std::chrono::duration_cast<std::chrono::microseconds>(*duration));
}

// "2%", "0.5%": in millionths.
Parsed<std::int64_t, Error> millionths(std::string_view text) {
    double number = 0;
    const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), number);
    const std::string_view rest(end, static_cast<std::size_t>(text.data() + text.size() - end));
    if (ec != std::errc{} || rest != "%" || !(number > 0) || number > 100)
        return fmt::format("\"{}\" is no percentage above 0 and up to 100; one is written like \"2%\"", text);
    return static_cast<std::int64_t>(number * 10'000 + 0.5);
}

// Decimal or 0x hexadecimal.
std::optional<Pid> pid_value(std::string_view text) {
    const bool hexadecimal = text.starts_with("0x");
    if (hexadecimal) text.remove_prefix(2);
    unsigned value = 0;
    const auto [end, ec] =
        std::from_chars(text.data(), text.data() + text.size(), value, hexadecimal ? 16 : 10);
    if (ec != std::errc{} || end != text.data() + text.size() || value > 0x1FFE) return std::nullopt;
    return Pid(static_cast<std::uint16_t>(value));
}

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

// One KEY=VALUE into the fault; the error text, or none.
std::optional<Error> set_value(Fault& fault, std::string_view key, std::string_view value,
                               const ExpectedLineup& lineup) {
    const auto into = [](auto&& parsed, auto& target) -> std::optional<Error> {
        if (!parsed) return parsed.error();
        target = *parsed;
        return std::nullopt;
    };
    const bool counts_datagrams = fault.kind == FaultKind::loss || fault.kind == FaultKind::duplicate ||
                                  fault.kind == FaultKind::reorder;
    if (key == "of") return into(find_flow(value, lineup), fault.other);
    if (key == "rate") {
        fault.every = 0;
        return into(millionths(value), fault.lost_per_million);
    }
    if (key == "percent") {
        const auto error = into(millionths(value), fault.percent);
        fault.percent /= 10'000;
        if (!error && (fault.percent < 1 || fault.percent > 99)) return "a low rate is 1% to 99% of the planned one";
        return error;
    }
    if (key == "pid") {
        const auto pid = pid_value(value);
        if (!pid) return fmt::format("\"{}\" is no PID; one is 0 to 8190 or 0x0 to 0x1FFE", value);
        fault.pid = *pid;
        return std::nullopt;
    }
    if (key == "count" || (key == "every" && counts_datagrams)) {
        const auto number = whole_number(value);
        if (!number || *number < 1 || *number > 1'000'000)
            return fmt::format("\"{}\" is no whole number from 1 to 1000000", value);
        (key == "count" ? fault.count : fault.every) = *number;
        return std::nullopt;
    }
    const auto error = into(ticks(value), key == "amount" ? fault.amount : fault.interval);
    if (!error && fault.amount > PcrTicks(std::chrono::seconds(10))) return "at most 10 s";
    return error;
}

std::vector<std::string_view> key_names(const FaultDoc& doc) {
    std::vector<std::string_view> out;
    for (const auto& key : doc.keys)
        if (!key.name.empty()) out.push_back(key.name);
    return out;
}

// KEY=VALUE among those of the kind.
std::optional<Error> set_parameter(Fault& fault, std::string_view text, const ExpectedLineup& lineup) {
    const FaultDoc& doc = doc_of(fault.kind);
    const auto equals = text.find('=');
    if (equals == std::string_view::npos)
        return fmt::format("\"{}\" is no parameter; one is written KEY=VALUE", text);
    const auto key = text.substr(0, equals);
    const auto known = key_names(doc);
    if (known.empty()) return fmt::format("{} has no parameter \"{}\"; it takes none", doc.name, key);
    if (std::find(known.begin(), known.end(), key) == known.end())
        return fmt::format("{} has no parameter \"{}\"; {}", doc.name, key, suggestion(key, known));
    const auto error = set_value(fault, key, text.substr(equals + 1), lineup);
    return error ? std::optional(fmt::format("{}: {}", key, *error)) : std::nullopt;
}

// START[+LENGTH]
std::optional<Error> set_window(Fault& fault, std::string_view text) {
    const auto plus = text.find('+');
    const auto begin = ticks(text.substr(0, plus));
    if (!begin) return "start: " + begin.error();
    fault.window.begin = *begin;
    if (plus == std::string_view::npos) return std::nullopt;
    const auto length = ticks(text.substr(plus + 1));
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
        if (!key.standard.empty()) set_value(fault, key.name, key.standard, lineup);
    if (fault.kind == FaultKind::wrong_service) fault.other = (fault.flow + 1) % lineup.flows.size();
    if (fault.kind == FaultKind::no_pmt) fault.pid = flow.pmt_pid;
    else fault.pid = first_component(flow, fault.kind != FaultKind::no_component);
}

}  // namespace

Parsed<std::size_t, std::string> find_flow(std::string_view channel, const ExpectedLineup& lineup) {
    std::vector<std::string> known;
    for (std::size_t i = 0; i < lineup.flows.size(); ++i) {
        const Expectation& flow = lineup.flows[i];
        known.push_back(flow.channel + (flow.copy > 1 ? "/" + std::to_string(flow.copy) : ""));
        if (known.back() == channel || (flow.copy == 1 && channel == flow.channel + "/1")) return i;
    }
    return fmt::format("the plan has no channel \"{}\"; it has {}", channel, fmt::join(known, ", "));
}

Parsed<Fault, std::string> parse_fault(std::string_view text, const ExpectedLineup& lineup) {
    const auto colon = text.find(':');
    if (colon == std::string_view::npos)
        return fmt::format("\"{}\" names no fault; one is written CHANNEL:KIND[@START[+LENGTH]][,KEY=VALUE]", text);
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
        if (const auto error = set_parameter(fault, next_field(parameters, ','), lineup)) return *error;
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
