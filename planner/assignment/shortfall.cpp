// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/shortfall.hpp"

#include <algorithm>
#include <map>

#include "planner/assignment/proof_text.hpp"

namespace mastline {

namespace {

using packing::Reason;

std::vector<std::size_t> homeless(const LineupModel& lineup, const packing::Solution& solution,
                                  const packing::Part& part, bool second_copy) {
    std::vector<std::size_t> out;
    for (const auto i : part.items) {
        const auto& homes = solution.homes[i];
        const bool missing = second_copy ? homes[0] && lineup.model.items[i].copies == 2 && !homes[1] : !homes[0];
        if (missing) out.push_back(i);
    }
    return out;
}

std::vector<std::size_t> channels_of(const LineupModel& lineup, const std::vector<std::size_t>& items) {
    std::vector<std::size_t> out;
    for (const auto i : items) out.push_back(lineup.channel[i]);
    std::sort(out.begin(), out.end());
    return out;
}

std::string without_card(const Venue& venue, const LineupModel& lineup, std::size_t c) {
    if (const auto input = lineup.input[c]) {
        const auto& in = venue.inputs[*input];
        return "no encoder card takes input " + in.name + " (" + in.connector +
               (in.format.empty() ? "" : ", " + in.format) + ")";
    }
    const auto& carrier = venue.carriers[*lineup.carrier[c]];
    return "lane " + carrier.feed + "/" + std::to_string(carrier.lane.value) + " of carrier " + carrier.name +
           " reaches no card that receives " + carrier.system;
}

// Channels of classes that no card could take, however empty.
void report_unreachable(const Venue& venue, const LineupModel& lineup, const std::vector<std::size_t>& items,
                        Findings& findings) {
    std::map<std::size_t, std::vector<std::size_t>> by_class;
    for (const auto i : items) by_class[lineup.model.items[i].item_class].push_back(i);
    for (const auto& [c, of_class] : by_class) {
        const auto channels = channels_of(lineup, of_class);
        const bool input = lineup.input[c].has_value();
        findings.push_back({Severity::error, "assignment.out-of-reach", "channel " + channel_list(venue, channels),
                            without_card(venue, lineup, c), counted(static_cast<std::int64_t>(channels.size()), "channel"),
                            input ? "add an encoder card with that connector and format"
                                  : "run that lane to a card input, or use a card with that system",
                            venue.channels[channels.front()].place});
    }
}

// One change to the cards that might help, in the order of what it costs.
struct Cure {
    std::string text;
    packing::Model model;
};

packing::Model with_more_licences(packing::Model model, std::size_t bin, std::int64_t more) {
    model.bins[bin].licences += static_cast<int>(more);
    return model;
}

packing::Model with_another(packing::Model model, std::size_t bin) {
    const std::size_t copy = model.bins.size();
    model.bins.push_back(model.bins[bin]);
    model.bins.back().loss_group = copy + model.bins.size() * 2 + 1000;
    for (auto& row : model.allowed) row.push_back(row[bin]);
    return model;
}

std::int64_t left_out(const packing::Solution& solution, const packing::Model& model) {
    std::int64_t out = 0;
    for (std::size_t i = 0; i < model.items.size(); ++i)
        out += model.items[i].copies - solution.homes[i][0].has_value() - solution.homes[i][1].has_value();
    return out;
}

// Trying a cure is worth little time: the cure is a suggestion, the plan is the answer.
bool cures(const packing::Model& model) {
    return packing::solve(model, {.nodes = 20'000, .seconds = 0.2}).complete();
}

// Cards of one model that are wired and limited alike are one suggestion.
std::vector<std::size_t> different_cards(const Venue& venue, const packing::Part& part) {
    std::vector<std::size_t> out;
    for (const auto b : part.bins) {
        const bool seen = std::any_of(out.begin(), out.end(), [&](std::size_t o) {
            return venue.cards[o].model == venue.cards[b].model;
        });
        if (!seen) out.push_back(b);
    }
    return out;
}

std::string cheapest_cures(const Venue& venue, const LineupModel& lineup, const packing::Solution& solution,
                           const packing::Part& part) {
    const auto short_by = left_out(solution, lineup.model);
    std::string out;
    const auto add = [&](const std::string& text) { out += (out.empty() ? "" : ", or ") + text; };
    for (const auto b : part.bins)
        if (cures(with_more_licences(lineup.model, b, short_by))) {
            add(counted(short_by, "more licence") + " on card " + venue.cards[b].name);
            break;
        }
    for (const auto b : different_cards(venue, part))
        if (cures(with_another(lineup.model, b))) {
            add("one more card of model " + venue.cards[b].model + " wired like " + venue.cards[b].name);
            break;
        }
    add("drop " + counted(short_by, "channel"));
    return out;
}

void report_short(const Venue& venue, const LineupModel& lineup, const packing::Solution& solution,
                  const packing::Part& part, bool second_copy, Findings& findings) {
    const auto channels = channels_of(lineup, homeless(lineup, solution, part, second_copy));
    if (channels.empty()) return;
    const auto n = static_cast<std::int64_t>(channels.size());
    findings.push_back({Severity::error, second_copy ? "assignment.no-second-card" : "assignment.no-card",
                        "channel " + channel_list(venue, channels),
                        (second_copy ? "no second carriage on cards " : "no room on cards ") + card_list(venue, part.bins) + ": " +
                            ruling_text(venue, lineup, part.ruling),
                        counted(n, "channel"), cheapest_cures(venue, lineup, solution, part),
                        venue.channels[channels.front()].place});
}

// Everything is placed but a loss would leave protected channels without room, or a wish cannot be
// kept: the plan is incomplete all the same.
void report_unkept(const Venue& venue, const LineupModel& lineup, const packing::Solution& solution,
                   const packing::Part& part, Findings& findings) {
    findings.push_back({Severity::error, "assignment.no-reserve", "cards " + card_list(venue, part.bins),
                        "all channels have a card, but not all protected ones would survive a loss: " +
                            ruling_text(venue, lineup, part.ruling),
                        {}, cheapest_cures(venue, lineup, solution, part), venue.protection.place});
}

}  // namespace

void explain_shortfall(const Venue& venue, const LineupModel& lineup, const packing::Solution& solution,
                       const packing::Part& part, Findings& findings) {
    const bool reachable = std::any_of(part.items.begin(), part.items.end(), [&](std::size_t i) {
        const auto& row = lineup.model.allowed[lineup.model.items[i].item_class];
        return std::find(row.begin(), row.end(), true) != row.end();
    });
    if (!reachable) return report_unreachable(venue, lineup, part.items, findings);
    const auto before = findings.size();
    report_short(venue, lineup, solution, part, false, findings);
    report_short(venue, lineup, solution, part, true, findings);
    if (findings.size() == before) report_unkept(venue, lineup, solution, part, findings);
}

}  // namespace mastline
