// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/shortfall.hpp"

#include <algorithm>
#include <map>

#include "planner/assignment/conflict.hpp"
#include "planner/assignment/cures.hpp"
#include "planner/assignment/parts.hpp"
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

std::int64_t copies_without_home(const LineupModel& lineup, const packing::Solution& solution, const packing::Part& part) {
    std::int64_t out = 0;
    for (const auto i : part.items)
        out += lineup.model.items[i].copies - solution.homes[i][0].has_value() - solution.homes[i][1].has_value();
    return out;
}

// The part as a model of its own, with the items that it is about.
packing::PartModel model_of_part(const LineupModel& lineup, const packing::Part& part) {
    for (auto& candidate : packing::parts_of(lineup.model))
        if (candidate.items == part.items) return std::move(candidate);
    return {};
}

// Where no count says why not everything fits: the channels that by themselves do not.
std::string conflict_text(const Venue& venue, const LineupModel& lineup, const packing::Part& part) {
    constexpr double seconds = 3;
    if (part.ruling.reason != Reason::search) return "";
    const auto own = model_of_part(lineup, part);
    const auto conflict = packing::conflict_of(own.model, seconds);
    if (conflict.items.empty() || conflict.items.size() == own.items.size()) return "";
    std::vector<std::size_t> items;
    for (const auto i : conflict.items) items.push_back(own.items[i]);
    const auto channels = channels_of(lineup, items);
    return "; " + channel_list(venue, channels) + " alone do not fit" +
           (conflict.smallest ? ", without any one of them the others do" : " (there may be a smaller set that does not)");
}

class Report {
public:
    Report(const Venue& venue, const SignalPlan& signal, const LineupModel& lineup, const packing::Solution& solution,
           const packing::Part& part, Findings& findings)
        : venue_(venue), lineup_(lineup), solution_(solution), part_(part), findings_(findings),
          why_(ruling_text(venue, lineup, part.ruling) + conflict_text(venue, lineup, part)),
          cures_(cures_text(venue, signal, lineup, solution, part, copies_without_home(lineup, solution, part))) {}

    void run() {
        const auto before = findings_.size();
        report_short(false);
        report_short(true);
        if (findings_.size() == before) report_unkept();
    }

private:
    void report_short(bool second_copy) {
        const auto channels = channels_of(lineup_, homeless(lineup_, solution_, part_, second_copy));
        if (channels.empty()) return;
        findings_.push_back({Severity::error, second_copy ? "assignment.no-second-card" : "assignment.no-card",
                             "channel " + channel_list(venue_, channels),
                             (second_copy ? "no second carriage on cards " : "no room on cards ") + card_list(venue_, part_.bins) + ": " + why_,
                             counted(static_cast<std::int64_t>(channels.size()), "channel"), cures_,
                             venue_.channels[channels.front()].place});
    }

    // Everything is placed but a loss would leave protected channels without room, or a wish cannot be
    // kept: the plan is incomplete all the same.
    void report_unkept() {
        findings_.push_back({Severity::error, "assignment.no-reserve", "cards " + card_list(venue_, part_.bins),
                             (part_.proven ? "all channels have a card, but not all protected ones would survive a loss: "
                                           : "all channels have a card, but no plan was found in which all protected ones survive a loss: ") + why_,
                             {}, cures_, venue_.protection.place});
    }

    const Venue& venue_;
    const LineupModel& lineup_;
    const packing::Solution& solution_;
    const packing::Part& part_;
    Findings& findings_;
    std::string why_, cures_;
};

}  // namespace

void explain_shortfall(const Venue& venue, const SignalPlan& signal, const LineupModel& lineup,
                       const packing::Solution& solution, const packing::Part& part, Findings& findings) {
    const bool reachable = std::any_of(part.items.begin(), part.items.end(), [&](std::size_t i) {
        const auto& row = lineup.model.allowed[lineup.model.items[i].item_class];
        return std::find(row.begin(), row.end(), true) != row.end();
    });
    if (!reachable) return report_unreachable(venue, lineup, part.items, findings);
    Report(venue, signal, lineup, solution, part, findings).run();
}

}  // namespace mastline
