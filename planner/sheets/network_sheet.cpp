// SPDX-License-Identifier: Apache-2.0
#include "mastline/text/escape.hpp"
#include "planner/sheets/load_bars.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/network_chart.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

constexpr std::string_view kLegend =
    "<ul class=\"legend\">"
    "<li><svg width=\"44\" height=\"10\" aria-hidden=\"true\"><path class=\"line good\" "
    "stroke-width=\"2\" "
    "d=\"M2 5H42\"/></svg> within its limit; the thicker, the fuller</li>"
    "<li><svg width=\"44\" height=\"10\" aria-hidden=\"true\"><path class=\"line near\" "
    "stroke-width=\"2\" "
    "d=\"M2 5H42\"/></svg> over its limit in the worst single failure</li>"
    "<li><svg width=\"44\" height=\"10\" aria-hidden=\"true\"><path class=\"line out\" "
    "stroke-width=\"2.6\" "
    "d=\"M2 5H42\"/></svg> over its limit (text: OVER)</li>"
    "<li>\u2192 load away from the senders, \u2190 toward them: Mbit/s on the wire in the worst "
    "mix, "
    "of the capacity</li></ul>\n";

Cell rate_cell(BitRate rate) {
    return number_cell(static_cast<double>(rate.bits_per_second()) / 1e6, 1);
}

std::string agreement(const Venue& venue) {
    const NetworkPolicy& policy = venue.network;
    std::string out = "<p>IGMP version " + std::to_string(policy.igmp_version) +
                      ", query interval " + to_text(policy.query_interval) + ", TTL " +
                      std::to_string(venue.addressing.ttl) + ", DSCP " +
                      std::to_string(venue.addressing.dscp);
    if (venue.addressing.vlan) out += ", VLAN " + std::to_string(*venue.addressing.vlan);
    out += policy.forwarding == Forwarding::routed ? "; routed" : "; spanning tree";
    return out + ".</p>\n";
}

}  // namespace

SheetTable load_table(const PlanIndex& index) {
    SheetTable out{"load-list",
                   "Load per link and direction, on the wire",
                   {{"Link"},
                    {"From"},
                    {"To"},
                    {"Capacity", "Mbit/s", true},
                    {"Limit", "Mbit/s", true},
                    {"Scheduled", "Mbit/s", true},
                    {"Worst mix", "Mbit/s", true},
                    {"Worst mix", "% of capacity", true},
                    {"Everything", "Mbit/s", true},
                    {"Flooded", "Mbit/s", true},
                    {"Worst failure", "Mbit/s", true},
                    {"Which failure"},
                    {"Groups", "", true},
                    {"Router port"},
                    {"Verdict"}},
                   {}};
    for (const auto& load : index.plan().network.links) {
        const Fit fit = fit_of(load);
        Cell verdict = text_cell(fit == Fit::out    ? "over"
                                 : fit == Fit::near ? "over in a failure"
                                                    : "fits");
        verdict.fit = fit;
        out.rows.push_back(
            {"",
             {text_cell(load.link), link_cell(load.from, index.picture_id(load.from)),
              link_cell(load.to, index.picture_id(load.to)), rate_cell(load.capacity),
              rate_cell(load.limit), rate_cell(load.scheduled), rate_cell(load.worst_mix),
              number_cell(100 * share_of(load.worst_mix, load.capacity), 1),
              rate_cell(load.everything), rate_cell(load.flooded), rate_cell(load.worst_failure),
              text_cell(load.failure), count_cell(load.groups.size()),
              text_cell(load.to_multicast_router ? "yes" : ""), verdict}});
    }
    return out;
}

SheetTable switch_table(const PlanIndex& index) {
    SheetTable out{"switch-list",
                   "Switches",
                   {{"Switch"},
                    {"Position"},
                    {"Snooping"},
                    {"Querier"},
                    {"Multicast router"},
                    {"Fast leave"},
                    {"Priority", "", true},
                    {"Group table", "groups", true},
                    {"Joins per port", "", true}},
                   {}};
    const auto yes = [](bool is) { return text_cell(is ? "yes" : "no"); };
    const auto limit = [](const std::optional<int>& most) {
        return most ? number_cell(*most, 0) : Cell{};
    };
    for (const auto& sw : index.venue().switches) {
        const std::string querier =
            sw.querier_address ? "yes, " + to_text(*sw.querier_address) : "yes";
        out.rows.push_back(
            {index.row_id(sw.name),
             {link_cell(sw.name, index.picture_id(sw.name)), text_cell(sw.position),
              yes(sw.snooping), text_cell(sw.querier ? querier : "no"), yes(sw.multicast_router),
              yes(sw.fast_leave), number_cell(sw.priority, 0), limit(sw.group_table),
              limit(sw.joins_per_port)}});
    }
    return out;
}

SheetTable cut_off_table(const PlanIndex& index) {
    SheetTable out{
        "cut-off-list", "Zones cut off by a single failure", {{"Failure"}, {"Zone"}}, {}};
    for (const auto& cut : index.plan().network.cut_off)
        out.rows.push_back({"", {text_cell(cut.failure), text_cell(cut.zone)}});
    return out;
}

Sheet network_sheet(const PlanIndex& index) {
    Sheet sheet{"network", "Network load", "", Scale::not_to_scale};
    const BoxChart chart = network_chart(index);
    if (chart.boxes.empty()) {
        sheet.body = "<p>The venue has no network.</p>\n";
        return sheet;
    }
    sheet.body =
        agreement(index.venue()) + std::string(kLegend) +
        "<div class=\"scroll drawing\" role=\"region\" tabindex=\"0\" aria-label=\"Network\">" +
        draw_boxes(chart, lay_out(chart), "net", "Network of " + index.venue().name,
                   "Senders on the left, switches, zones on the right; the same figures stand "
                   "in the table of this sheet.") +
        "</div>\n" + load_bars(index);
    for (const auto& table : {load_table(index), switch_table(index), cut_off_table(index)})
        if (!table.rows.empty()) sheet.body += to_html(table);
    return sheet;
}

}  // namespace mastline
