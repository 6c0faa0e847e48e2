// SPDX-License-Identifier: Apache-2.0
// Which channels are lost with each card, chassis, lane and supply, and where each could go.
#include <map>

#include "mastline/change/what_if.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

bool is_shown(const PartLoss& loss) {
    return loss.kind == LossKind::card || loss.kind == LossKind::chassis ||
           loss.kind == LossKind::lane || loss.kind == LossKind::supply;
}

// The picture or row of the part that is lost.
Cell loss_cell(const PlanIndex& index, const PartLoss& loss) {
    switch (loss.kind) {
        case LossKind::card:
            return link_cell(loss.name, index.row_id(loss.name));
        case LossKind::supply:
        case LossKind::device:
            return link_cell(loss.name, index.picture_id(loss.name));
        case LossKind::lane:
            return link_cell(loss.name, index.picture_id(loss.name.substr(0, loss.name.rfind('/'))));
        case LossKind::chassis:
        case LossKind::network_switch:
            break;
    }
    return text_cell(loss.name);
}

std::string number_of(const PlanIndex& index, const HitChannel& hit) {
    return to_text(index.venue().channels[hit.channel].number);
}

// "A2: 101, 103; B2 (idle): 104"
std::string refuges(const PlanIndex& index, const WhatIf& what) {
    struct Refuge {
        std::string channels;
        bool idle = false;
    };
    std::map<std::size_t, Refuge> by_card;
    for (const auto& hit : what.channels) {
        if (hit.still_copy || !hit.card) continue;
        auto& refuge = by_card[*hit.card];
        refuge.channels += (refuge.channels.empty() ? "" : ", ") + number_of(index, hit);
        refuge.idle = hit.idle_card;
    }
    std::string out;
    for (const auto& [card, refuge] : by_card)
        out += (out.empty() ? "" : "; ") + index.venue().cards[card].name +
               (refuge.idle ? " (idle): " : ": ") + refuge.channels;
    return out;
}

std::string dark_channels(const PlanIndex& index, const WhatIf& what) {
    std::map<std::string, std::string> by_reason;
    for (const auto& hit : what.channels) {
        if (!hit.dark()) continue;
        auto& channels = by_reason[hit.why];
        channels += (channels.empty() ? "" : ", ") + number_of(index, hit);
    }
    std::string out;
    for (const auto& [why, channels] : by_reason)
        out += (out.empty() ? "" : "; ") + channels + (why.empty() ? "" : ": " + why);
    return out;
}

Row loss_row(const PlanIndex& index, const WhatIf& what) {
    std::size_t going_on = 0, moved = 0, dark_protected = 0;
    for (const auto& hit : what.channels) {
        going_on += hit.still_copy ? 1 : 0;
        moved += !hit.still_copy && hit.card ? 1 : 0;
        dark_protected += hit.dark() && index.venue().channels[hit.channel].is_protected ? 1 : 0;
    }
    Cell dark = count_cell(what.dark()), guarded = count_cell(dark_protected);
    dark.fit = what.dark() > 0 ? Fit::near : Fit::good;
    guarded.fit = dark_protected > 0 ? Fit::out : Fit::good;
    return {"",
            {text_cell(std::string(to_text(what.losses.front().kind))),
             loss_cell(index, what.losses.front()), count_cell(what.channels.size()),
             count_cell(going_on), count_cell(moved), dark, guarded,
             text_cell(refuges(index, what)), text_cell(dark_channels(index, what)),
             text_cell(what.proven ? "no other way saves more" : "best found in the time")}};
}

std::string fate(const PlanIndex& index, const HitChannel& hit) {
    if (hit.still_copy) return "goes on as copy " + std::to_string(*hit.still_copy);
    if (!hit.card) return "dark" + (hit.why.empty() ? "" : ": " + hit.why);
    return "to " + index.venue().cards[*hit.card].name + (hit.input.empty() ? "" : "." + hit.input) +
           (hit.idle_card ? ", idle now" : "");
}

void add_channel_rows(std::vector<Row>& rows, const PlanIndex& index, const WhatIf& what) {
    for (const auto& hit : what.channels) {
        const Channel& channel = index.venue().channels[hit.channel];
        Cell told = text_cell(fate(index, hit));
        told.fit = !hit.dark() ? Fit::good : channel.is_protected ? Fit::out : Fit::near;
        rows.push_back({"",
                        {loss_cell(index, what.losses.front()),
                         channel_cell(channel.number, "t-ch-" + std::to_string(hit.channel)),
                         text_cell(channel.name), text_cell(channel.is_protected ? "yes" : ""), told}});
    }
}

std::vector<WhatIf> single_losses(const PlanIndex& index) {
    auto losses = possible_losses(index.venue(), index.plan());
    std::erase_if(losses, [](const PartLoss& loss) { return !is_shown(loss); });
    return what_if_each(index.venue(), index.plan(), losses);
}

SheetTable loss_table(const PlanIndex& index, const std::vector<WhatIf>& losses) {
    SheetTable out{"what-if-list",
                   "What is lost with each card, chassis, lane and supply",
                   {{"Kind"},
                    {"Lost part"},
                    {"Channels hit", "", true},
                    {"Go on", "", true},
                    {"Can move", "", true},
                    {"Stay dark", "", true},
                    {"Of these protected", "", true},
                    {"Where they can go"},
                    {"Which stay dark"},
                    {"Certainty"}},
                   {}};
    for (const auto& what : losses) out.rows.push_back(loss_row(index, what));
    return out;
}

SheetTable channel_fate_table(const PlanIndex& index, const std::vector<WhatIf>& losses) {
    SheetTable out{"what-if-channels",
                   "Each card's channels and where they could go without it",
                   {{"Lost card"}, {"Channel"}, {"Name"}, {"Protected"}, {"Then"}},
                   {},
                   true};
    for (const auto& what : losses)
        if (what.losses.front().kind == LossKind::card) add_channel_rows(out.rows, index, what);
    return out;
}

}  // namespace

Sheet what_if_sheet(const PlanIndex& index) {
    Sheet sheet{"what-if", "What-if table", "", Scale::none};
    const auto losses = single_losses(index);
    if (losses.empty()) {
        sheet.body = "<p>Nothing carries a channel, so nothing can be lost.</p>\n";
        return sheet;
    }
    sheet.body =
        "<p>One part lost at a time; what still runs stays where it is, protected channels are "
        "placed first.</p>\n" +
        to_html(loss_table(index, losses)) + to_html(channel_fate_table(index, losses));
    return sheet;
}

}  // namespace mastline
