// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/what_if_report.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "mastline/text/escape.hpp"
#include "mastline/text/shown_json.hpp"

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

std::string lost_parts(const WhatIf& result) {
    std::string out;
    for (std::size_t i = 0; i < result.losses.size(); ++i)
        out += (i == 0 ? "" : i + 1 == result.losses.size() ? " and " : ", ") + to_text(result.losses[i]);
    return out;
}

std::string counts(const WhatIf& result) {
    std::size_t going_on = 0, elsewhere = 0;
    for (const auto& c : result.channels) {
        if (c.still_copy) ++going_on;
        else if (c.card) ++elsewhere;
    }
    if (result.channels.empty()) return "no channel falls silent";
    return fmt::format("{} channel{} hit: {} go on by another carriage, {} can be carried by another card, "
                       "{} stay dark",
                       result.channels.size(), result.channels.size() == 1 ? "" : "s", going_on, elsewhere,
                       result.dark());
}

std::string outcome(const Venue& venue, const HitChannel& c) {
    if (c.still_copy) return *c.still_copy == 1 ? "goes on by its 1st carriage" : "goes on by its 2nd carriage";
    if (!c.card) return "dark: " + c.why;
    return "can go to card " + venue.cards[*c.card].name + (c.input.empty() ? "" : ", " + c.input) +
           (c.idle_card ? " (idle now)" : "");
}

std::string_view outcome_word(const HitChannel& c) {
    return c.still_copy ? "other-carriage" : c.card ? "other-card" : "dark";
}

}  // namespace

std::string what_if_text(const Venue& venue, const WhatIf& result) {
    std::size_t number = 0, name = 0;
    for (const auto& c : result.channels) {
        number = std::max(number, to_text(venue.channels[c.channel].number).size());
        name = std::max(name, plain_line(venue.channels[c.channel].name).size());
    }
    std::string out = plain_line("Without " + lost_parts(result) + ": " + counts(result)) + ".\n";
    for (const auto& c : result.channels) {
        const auto& channel = venue.channels[c.channel];
        out += fmt::format("  {:<{}}  {:<{}}  {}{}\n", to_text(channel.number), number, plain_line(channel.name),
                           name, channel.is_protected ? "protected; " : "", plain_line(outcome(venue, c)));
    }
    if (!result.proven) out += "Time ran out before it was proven that no other way saves more channels.\n";
    return out;
}

std::string what_if_json(const Venue& venue, const WhatIf& result) {
    Json losses = Json::array(), channels = Json::array();
    for (const auto& loss : result.losses) losses.push_back({{"kind", to_text(loss.kind)}, {"name", loss.name}});
    for (const auto& c : result.channels) {
        const auto& channel = venue.channels[c.channel];
        Json one{{"channel", to_text(channel.number)}, {"name", channel.name},
                 {"protected", channel.is_protected},  {"outcome", outcome_word(c)}};
        if (c.still_copy) one["copy"] = *c.still_copy;
        if (c.card) one["card"] = venue.cards[*c.card].name, one["card_is_idle"] = c.idle_card;
        if (!c.input.empty()) one["input"] = c.input;
        if (c.dark()) one["why"] = c.why;
        channels.push_back(std::move(one));
    }
    const Json out{{"schema", "mastline-what-if 1"}, {"venue", venue.name},     {"losses", std::move(losses)},
                   {"dark", result.dark()},          {"proven", result.proven}, {"channels", std::move(channels)}};
    return shown_json(out);
}

}  // namespace mastline
