// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/fault/fault_value.hpp"

#include <charconv>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mastline {

namespace {

using Error = std::string;

std::optional<std::int64_t> whole_number(std::string_view text) {
    std::int64_t value = 0;
    const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (ec != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

}  // namespace

Parsed<PcrTicks, Error> parse_fault_time(std::string_view text) {
    const auto duration = parse_duration(text);
    if (!duration) return duration.error().message;
    if (*duration < Duration(0) || *duration > std::chrono::hours(24 * 365))
        return fmt::format("\"{}\" is out of range; from 0 s to 365 days", text);
    return std::chrono::duration_cast<PcrTicks>(
        std::chrono::duration_cast<std::chrono::microseconds>(*duration));
}

namespace {

// "2%", "0.5%": in millionths.
Parsed<std::int64_t, Error> millionths(std::string_view text) {
    double number = 0;
    const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), number);
    const std::string_view rest(end, static_cast<std::size_t>(text.data() + text.size() - end));
    if (ec != std::errc{} || rest != "%" || !(number > 0) || number > 100)
        return fmt::format(
            "\"{}\" is no percentage above 0 and up to 100; one is written like \"2%\"", text);
    return static_cast<std::int64_t>(number * 10'000 + 0.5);
}

// Decimal or 0x hexadecimal.
std::optional<Pid> pid_value(std::string_view text) {
    const bool hexadecimal = text.starts_with("0x");
    if (hexadecimal) text.remove_prefix(2);
    unsigned value = 0;
    const auto [end, ec] =
        std::from_chars(text.data(), text.data() + text.size(), value, hexadecimal ? 16 : 10);
    if (ec != std::errc{} || end != text.data() + text.size() || value > 0x1FFE)
        return std::nullopt;
    return Pid(static_cast<std::uint16_t>(value));
}

}  // namespace

Parsed<std::size_t, std::string> find_flow(std::string_view channel, const ExpectedLineup& lineup) {
    std::vector<std::string> known;
    for (std::size_t i = 0; i < lineup.flows.size(); ++i) {
        const Expectation& flow = lineup.flows[i];
        known.push_back(flow.channel + (flow.copy > 1 ? "/" + std::to_string(flow.copy) : ""));
        if (known.back() == channel || (flow.copy == 1 && channel == flow.channel + "/1")) return i;
    }
    return fmt::format("the plan has no channel \"{}\"; it has {}", channel,
                       fmt::join(known, ", "));
}

std::optional<Error> set_fault_value(Fault& fault, std::string_view key, std::string_view value,
                                     const ExpectedLineup& lineup) {
    const auto into = [](auto&& parsed, auto& target) -> std::optional<Error> {
        if (!parsed) return parsed.error();
        target = *parsed;
        return std::nullopt;
    };
    const bool counts_datagrams = fault.kind == FaultKind::loss ||
                                  fault.kind == FaultKind::duplicate ||
                                  fault.kind == FaultKind::reorder;
    if (key == "of") return into(find_flow(value, lineup), fault.other);
    if (key == "rate") {
        fault.every = 0;
        return into(millionths(value), fault.lost_per_million);
    }
    if (key == "percent") {
        const auto error = into(millionths(value), fault.percent);
        fault.percent /= 10'000;
        if (!error && (fault.percent < 1 || fault.percent > 99))
            return "a low rate is 1% to 99% of the planned one";
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
    const auto error =
        into(parse_fault_time(value), key == "amount" ? fault.amount : fault.interval);
    if (!error && fault.amount > PcrTicks(std::chrono::seconds(10))) return "at most 10 s";
    return error;
}

}  // namespace mastline
