// SPDX-License-Identifier: Apache-2.0
#include "mastline/network/membership_timers.hpp"
#include "mastline/text/escape.hpp"
#include "planner/sheets/facts.hpp"
#include "planner/sheets/load_bars.hpp"
#include "planner/sheets/network_agreement.hpp"
#include "planner/sheets/network_chart.hpp"
#include "planner/sheets/rate_cell.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

constexpr std::string_view kNetworkLegend =
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
    "of the capacity</li>";

// Routers block no link, and pass on what is joined.
constexpr std::string_view kTreeLegend =
    "<li><svg width=\"44\" height=\"10\" aria-hidden=\"true\"><path class=\"line reserve\" "
    "d=\"M2 5H42\"/></svg> in reserve: the tree keeps it blocked</li>"
    "<li>R: multicast router port, gets every group</li>";

std::string legend(const PlanIndex& index) {
    const bool routed = index.venue().network.forwarding == Forwarding::routed;
    return std::string(kNetworkLegend) + std::string(routed ? "" : kTreeLegend) + "</ul>\n";
}

std::string settings_in_short(const PlanIndex& index) {
    const NetworkPolicy& policy = index.venue().network;
    std::string out = "<dl class=\"facts\">" +
                      fact("Protocol", membership_protocol(index)) +
                      fact("Query interval", to_text(policy.query_interval)) +
                      fact("Leave latency", to_text(leave_latency(policy))) +
                      fact("TTL", std::to_string(index.venue().addressing.ttl)) +
                      fact("DSCP", std::to_string(index.venue().addressing.dscp));
    if (index.venue().addressing.vlan)
        out += fact("VLAN", std::to_string(*index.venue().addressing.vlan));
    if (policy.forwarding == Forwarding::routed)
        return out + fact("Forwarding", "routed") + fact("Querier", kRoutedQueriers) + "</dl>\n";
    const std::string& querier = index.plan().network.querier;
    return out + fact("Spanning tree, root", index.plan().network.tree_root) +
           fact("Querier", querier.empty() ? "none" : querier) + "</dl>\n";
}

// The link direction that a single failure fills most.
std::string worst_failure(const PlanIndex& index) {
    const LinkLoad* worst = nullptr;
    for (const auto& load : index.plan().network.links) {
        if (load.failure.empty()) continue;
        if (worst == nullptr || share_of(load.worst_failure, load.capacity) >
                                    share_of(worst->worst_failure, worst->capacity))
            worst = &load;
    }
    if (worst == nullptr)
        return "<p>No single failure loads any link more than the worst mix does.</p>\n";
    const bool over = worst->worst_failure > worst->limit;
    return "<p class=\"verdict " + std::string(over ? "near" : "good") +
           "\"><b>Worst single failure: " + escape_markup(worst->failure) + ".</b> Link " +
           escape_markup(worst->link) + ", " + escape_markup(worst->from) + " to " +
           escape_markup(worst->to) + ", then carries " +
           fixed_text(megabits(worst->worst_failure), 1) + " of " +
           fixed_text(megabits(worst->capacity), 1) + " Mbit/s (" +
           fixed_text(100 * share_of(worst->worst_failure, worst->capacity), 1) + " %, limit " +
           fixed_text(megabits(worst->limit), 1) + " Mbit/s" + (over ? ", OVER" : "") + ").</p>\n";
}

}  // namespace

Sheet network_sheet(const PlanIndex& index) {
    Sheet sheet{"network", "Network load", "", Scale::not_to_scale};
    const BoxChart chart = network_chart(index);
    if (chart.boxes.empty()) {
        sheet.body = "<p>The venue has no network.</p>\n";
        return sheet;
    }
    sheet.body = settings_in_short(index) + worst_failure(index) + load_bars(index) +
                 legend(index) +
                 draw_parts(chart, "net-", "Network of " + index.venue().name,
                            "Senders on the left, switches, zones on the right; the same figures "
                            "stand in the table of this sheet.");
    for (const auto& table : {load_table(index), varying_table(index), bundle_table(index),
                              switch_table(index), timer_table(index),
                              cut_off_table(index), source_loss_table(index)})
        if (!table.rows.empty()) sheet.body += to_html(table);
    return sheet;
}

Sheet agreement_sheet(const PlanIndex& index) {
    Sheet sheet{"agreement", "Network agreement", network_agreement(index), Scale::none};
    if (sheet.body.empty()) sheet.body = "<p>The venue has no network.</p>\n";
    return sheet;
}

}  // namespace mastline
