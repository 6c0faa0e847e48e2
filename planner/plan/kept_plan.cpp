// SPDX-License-Identifier: Apache-2.0
#include "mastline/plan/kept_plan.hpp"

#include <charconv>

#include <fmt/format.h>

#include "mastline/expectation/read_plan.hpp"
#include "planner/plan/planner_keys.hpp"

namespace mastline {

namespace {

void read_home(const tree::Table& table, KeptPlan& out, Findings& findings) {
    TableReader reader(table, kHomeDoc, findings);
    KeptHome home;
    const auto channel = reader.text("channel");
    const auto number = channel ? parse_channel_number(*channel) : std::nullopt;
    if (channel && !number)
        reader.fault("plan.bad-number", reader.place_of("channel"),
                     "'" + *channel + "' is no channel number", "keep the plan as it was written");
    home.number = number.value_or(ChannelNumber{});
    home.copy = static_cast<int>(reader.integer("copy", 1, 2).value_or(1));
    home.source = reader.text("source").value_or("");
    home.card = reader.text("card").value_or("");
    if (const auto input = reader.integer("encoder_input", 1, 1000))
        home.encoder_input = static_cast<int>(*input);
    out.homes.push_back(std::move(home));
}

void read_resting(const tree::Table& table, KeptPlan& out, Findings& findings) {
    TableReader reader(table, kRestingDoc, findings);
    const auto group = reader.quantity<Group>("group");
    const auto written = reader.text("freed_on");
    const auto day = written ? parse_day(*written) : std::nullopt;
    if (written && !day)
        reader.fault("plan.bad-day", reader.place_of("freed_on"), "'" + *written + "' is no day",
                     "write it as 2026-03-01");
    const auto channel = reader.text("channel");
    const auto copy = static_cast<int>(reader.integer("copy", 1, 2).value_or(1));
    if (group && day) out.addresses.resting.push_back({*group, *day, channel.value_or(""), copy});
}

void read_planner(const tree::Table& table, KeptPlan& out, Findings& findings) {
    TableReader reader(table, kPlannerDoc, findings);
    for (const auto* home : reader.tables("home")) read_home(*home, out, findings);
    for (const auto* addressing : reader.tables("addressing")) {
        TableReader inner(*addressing, kAddressingOutcomeDoc, findings);
        for (const auto* resting : inner.tables("resting")) read_resting(*resting, out, findings);
    }
}

}  // namespace

std::optional<KeptPlan> read_kept_plan(const tree::Table& root, Findings& findings) {
    const std::size_t before = findings.size();
    const auto lineup = read_plan(root, findings);
    KeptPlan out;
    if (const auto* planner = tree::find(root, "planner"))
        if (const auto* table = std::get_if<tree::Table>(&planner->value.held))
            read_planner(*table, out, findings);
    if (!lineup || findings.size() != before) return std::nullopt;
    for (const auto& flow : lineup->flows)
        out.addresses.held.push_back({flow.channel, flow.copy, flow.flow.group});
    return out;
}

std::optional<std::chrono::sys_days> parse_day(std::string_view text) {
    int parts[3] = {};
    const char* at = text.data();
    const char* const end = text.data() + text.size();
    for (int i = 0; i < 3; ++i) {
        if (i > 0 && (at == end || *at++ != '-')) return std::nullopt;
        const auto [rest, error] = std::from_chars(at, end, parts[i]);
        if (error != std::errc{} || rest - at != (i == 0 ? 4 : 2)) return std::nullopt;
        at = rest;
    }
    const std::chrono::year_month_day day{std::chrono::year(parts[0]),
                                          std::chrono::month(static_cast<unsigned>(parts[1])),
                                          std::chrono::day(static_cast<unsigned>(parts[2]))};
    if (at != end || parts[0] < 1 || !day.ok()) return std::nullopt;
    return std::chrono::sys_days(day);
}

std::string day_text(std::chrono::sys_days day) {
    const std::chrono::year_month_day date(day);
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
}

}  // namespace mastline
