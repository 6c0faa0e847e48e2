// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/summary.hpp"

#include <set>

#include "mastline/text/escape.hpp"
#include "planner/commands/findings_text.hpp"

namespace mastline {

namespace {

std::optional<LeastMargin> least_margin(const SignalPlan& signal) {
    std::optional<LeastMargin> out;
    for (const auto& level : signal.levels)
        if (level.margin && (!out || *level.margin < out->margin))
            out = LeastMargin{*level.margin, level.port, level.lane};
    return out;
}

}  // namespace

PlanSummary summary_of(const Venue& venue, const Plan& plan) {
    std::set<std::size_t> placed, cards;
    for (const auto& home : plan.assignment.homes) {
        placed.insert(home.channel);
        cards.insert(home.card);
    }
    return {.channels = venue.channels.size(),
            .placed_channels = placed.size(),
            .cards = venue.cards.size(),
            .cards_in_use = cards.size(),
            .cards_kept_idle = plan.assignment.standby.size(),
            .groups = plan.addressing.carriages.size(),
            .links = venue.links.size(),
            .least_margin = least_margin(plan.signal)};
}

std::string to_text(const PlanSummary& s) {
    std::string out = s.placed_channels == s.channels
                          ? counted(s.channels, "channel")
                          : std::to_string(s.placed_channels) + " of " + counted(s.channels, "channel");
    out += " on " + std::to_string(s.cards_in_use) + " of " + counted(s.cards, "card") +
           (s.cards_kept_idle > 0 ? " (" + std::to_string(s.cards_kept_idle) + " more kept idle for a loss)" : "") + ", " +
           counted(s.groups, "group") + ", " + counted(s.links, "link");
    if (s.least_margin)
        out += "; least margin " + to_text(s.least_margin->margin) + " at " +
               s.least_margin->port.device + "." + s.least_margin->port.port + ", lane " +
               s.least_margin->lane.feed + "/" + std::to_string(s.least_margin->lane.lane.value);
    return plain_line(out);
}

}  // namespace mastline
