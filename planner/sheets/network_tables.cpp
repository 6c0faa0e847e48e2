// SPDX-License-Identifier: Apache-2.0
// The tables of the network sheet.
#include <algorithm>
#include <map>

#include "mastline/network/timer_advice.hpp"
#include "mastline/sheets/sheets.hpp"
#include "planner/sheets/network_agreement.hpp"
#include "planner/sheets/network_chart.hpp"
#include "planner/sheets/paper_rows.hpp"
#include "planner/sheets/rate_cell.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

Cell verdict_cell(const LinkLoad& load) {
    Cell out = text_cell(verdict_of(load));
    out.fit = fit_of(load);
    return out;
}

// "1 to 8, 101, 104": channels that follow each other in the lineup are told by the first and last.
std::string channel_ranges(const PlanIndex& index, const LinkLoad& load) {
    const auto& homes = index.plan().assignment.homes;
    const auto& carriages = index.plan().addressing.carriages;
    std::vector<std::size_t> channels;
    for (const std::size_t group : load.groups)
        if (group < carriages.size() && carriages[group].home < homes.size())
            channels.push_back(homes[carriages[group].home].channel);
    std::sort(channels.begin(), channels.end());
    channels.erase(std::unique(channels.begin(), channels.end()), channels.end());
    const auto number = [&](std::size_t c) { return to_text(index.venue().channels[c].number); };
    std::string out;
    for (std::size_t i = 0; i < channels.size();) {
        std::size_t end = i + 1;
        while (end < channels.size() && channels[end] == channels[end - 1] + 1) ++end;
        out += (out.empty() ? "" : ", ") + number(channels[i]);
        if (end - i > 1) out += (end - i > 2 ? " to " : ", ") + number(channels[end - 1]);
        i = end;
    }
    return out;
}

const std::vector<Column> kLoadColumns{{"Link"},
                                       {"From"},
                                       {"To"},
                                       {"State"},
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
                                       {"Verdict"}};

Row load_row(const PlanIndex& index, const LinkLoad& load) {
    return {"",
            {text_cell(load.link), link_cell(load.from, index.picture_id(load.from)),
             link_cell(load.to, index.picture_id(load.to)),
             text_cell(load.blocked ? "in reserve" : "in use"), rate_cell(load.capacity),
             rate_cell(load.limit), rate_cell(load.scheduled), rate_cell(load.worst_mix),
             number_cell(100 * share_of(load.worst_mix, load.capacity), 1),
             rate_cell(load.everything), rate_cell(load.flooded), rate_cell(load.worst_failure),
             text_cell(load.failure.empty() ? "none is worse" : load.failure),
             count_cell(load.groups.size()), text_cell(load.to_multicast_router ? "yes" : ""),
             verdict_cell(load)}};
}

std::string kind_of(const LinkLoad& load) {
    return load.of == LoadOf::link ? "link direction" : load.of == LoadOf::card ? "card" : "zone port";
}

std::string listed(const std::vector<std::string>& names) {
    std::string out;
    for (const auto& name : names) out += (out.empty() ? "" : ", ") + name;
    return out;
}

// "next querier", "querier, number 3 in turn" by name of the switch; none where streams are routed.
std::map<std::string, std::string> querier_turns(const PlanIndex& index) {
    std::map<std::string, std::string> out;
    if (index.venue().network.forwarding == Forwarding::routed) return out;
    std::size_t turn = 1;
    for (const auto* sw : queriers_by_turn(index)) {
        if (sw->name == index.plan().network.querier) continue;
        ++turn;
        out[sw->name] = turn == 2 ? "next querier" : "querier, number " + std::to_string(turn) + " in turn";
    }
    return out;
}

}  // namespace

SheetTable load_table(const PlanIndex& index) {
    SheetTable out{"load-list", "Load per link and direction, on the wire", kLoadColumns, {}};
    std::vector<RowWeight> weights;
    for (const auto& load : index.plan().network.links) {
        out.rows.push_back(load_row(index, load));
        weights.push_back({kind_of(load),
                           share_of(std::max(load.worst_mix, load.worst_failure), load.capacity), fit_of(load) != Fit::good});
    }
    choose_for_paper(out, weights, "the 40 fullest of each kind, in the worst failure, and all that are over", "loads.csv");
    return out;
}

SheetTable load_table_in_full(const PlanIndex& index) {
    SheetTable out = load_table(index);
    out.columns.push_back({"Worst mix", "frames/s", true});
    for (const char* header : {"Mean of the worst mix", "Worst mix, 99.9 % of the time below",
                               "Worst failure, 99.9 % of the time below"})
        out.columns.push_back({header, "Mbit/s", true});
    out.columns.push_back({"Channels in the worst mix"});
    const auto& links = index.plan().network.links;
    for (std::size_t i = 0; i < links.size(); ++i) {
        auto& cells = out.rows[i].cells;
        cells.push_back(number_cell(links[i].frames, 0));
        for (const auto rate : {links[i].mean, links[i].nearly_always, links[i].failure_nearly_always})
            cells.push_back(rate_cell(rate));
        cells.push_back(text_cell(channel_ranges(index, links[i])));
    }
    return out;
}

SheetTable bundle_table(const PlanIndex& index) {
    SheetTable out{"bundle-list",
                   "Bundles: the fullest member in the worst mix, and in the single failure that is worst for it",
                   {{"Bundle"},
                    {"From"},
                    {"To"},
                    {"Members", "", true},
                    {"Member capacity", "Mbit/s", true},
                    {"Member limit", "Mbit/s", true},
                    {"Even share", "Mbit/s", true},
                    {"Fullest member", "Mbit/s", true},
                    {"How it was found"},
                    {"Certainty"},
                    {"Fullest in a failure", "Mbit/s", true},
                    {"Which failure"},
                    {"How that was found"},
                    {"Verdict"}},
                   {}};
    for (const auto& load : index.plan().network.links) {
        if (load.members < 2) continue;
        const auto each = [&](BitRate rate) { return BitRate(rate.bits_per_second() / load.members); };
        out.rows.push_back(
            {"",
             {text_cell(load.link), link_cell(load.from, index.picture_id(load.from)),
              link_cell(load.to, index.picture_id(load.to)), number_cell(load.members, 0),
              rate_cell(each(load.capacity)), rate_cell(each(load.limit)),
              rate_cell(each(load.worst_mix)), rate_cell(load.fullest_member),
              text_cell(load.member_rule),
              text_cell(load.member_exact ? "exact" : "1 in 100 dealings exceeds it"),
              rate_cell(load.failure_member),
              text_cell(load.member_failure.empty() ? "none is worse" : load.member_failure),
              text_cell(load.member_failure.empty() ? "" : load.failure_member_rule), verdict_cell(load)}});
    }
    return out;
}

SheetTable varying_table(const PlanIndex& index) {
    SheetTable out{"varying-list",
                   "Worst mix where streams are sent without null packets: mean, what independent "
                   "streams stay below 99.9 % of the time (at least: bounds of Hoeffding and "
                   "Bernstein from means and peaks), and peak",
                   {{"Link"},
                    {"From"},
                    {"To"},
                    {"Mean", "Mbit/s", true},
                    {"99.9 % of the time below", "Mbit/s", true},
                    {"Peak", "Mbit/s", true},
                    {"Worst failure, 99.9 % of the time below", "Mbit/s", true},
                    {"Worst failure, peak", "Mbit/s", true},
                    {"Limit", "Mbit/s", true}},
                   {}};
    std::vector<RowWeight> weights;
    const auto& links = index.plan().network.links;
    for (std::size_t i = 0; i < links.size(); ++i) {
        const auto& load = links[i];
        if (load.mean >= load.worst_mix && load.failure_nearly_always >= load.worst_failure) continue;
        out.rows.push_back({"",
                            {text_cell(load.link), link_cell(load.from, index.picture_id(load.from)),
                             link_cell(load.to, index.picture_id(load.to)), rate_cell(load.mean),
                             rate_cell(load.nearly_always), rate_cell(load.worst_mix),
                             rate_cell(load.failure_nearly_always), rate_cell(load.worst_failure),
                             rate_cell(load.limit)}});
        weights.push_back({kind_of(load), share_of(std::max(load.nearly_always, load.failure_nearly_always), load.capacity),
                           fit_of(load) != Fit::good});
    }
    choose_for_paper(out, weights, "the 40 fullest 99.9 % of the time, in the worst failure, and all that are over", "loads.csv");
    return out;
}

SheetTable timer_table(const PlanIndex& index) {
    SheetTable out{"timer-list",
                   "Timers of group membership",
                   {{"Timer"}, {"Planned"}, {"Advised"}, {"Why"}},
                   {}};
    for (const auto& advice : timer_advice(index.venue(), index.plan().network))
        out.rows.push_back({"",
                            {text_cell(advice.timer), text_cell(advice.planned),
                             text_cell(advice.advised), text_cell(advice.reason)}});
    return out;
}

SheetTable switch_table(const PlanIndex& index) {
    SheetTable out{"switch-list",
                   "Switches",
                   {{"Switch"},
                    {"Position"},
                    {"Roles"},
                    {"Snooping"},
                    {"Fast leave"},
                    {"Priority", "", true},
                    {"Groups held", "", true},
                    {"Table", "groups", true},
                    {"Joins on a port", "", true},
                    {"Limit", "joins", true},
                    {"Queue at a port", "frames", true},
                    {"Limit", "frames", true},
                    {"Reports after a query", "1/s", true},
                    {"Reports after a power cut", "1/s", true},
                    {"Limit", "reports/s", true}},
                   {}};
    const auto yes = [](bool is) { return text_cell(is ? "yes" : "no"); };
    const auto limit = [](const std::optional<int>& most) {
        return most ? number_cell(*most, 0) : Cell{};
    };
    const auto against = [](double value, const std::optional<int>& most) {
        Cell cell = number_cell(value, 0);
        if (most) cell.fit = value > *most ? Fit::out : Fit::good;
        return cell;
    };
    const auto& network = index.plan().network;
    const auto turn_of = querier_turns(index);
    std::vector<RowWeight> weights;
    for (const auto& sw : index.venue().switches) {
        std::string roles;
        const auto add = [&](bool is, const std::string& role) {
            if (is) roles += (roles.empty() ? "" : ", ") + role;
        };
        add(sw.name == network.tree_root, "root of the tree");
        add(sw.name == network.querier, "querier");
        if (const auto turn = turn_of.find(sw.name); turn != turn_of.end() && sw.name != network.querier)
            add(true, turn->second);
        add(sw.multicast_router, "multicast router");
        const auto load = std::find_if(network.switches.begin(), network.switches.end(),
                                       [&](const SwitchLoad& l) { return l.name == sw.name; });
        Row row{index.row_id(sw.name),
                {link_cell(sw.name, index.picture_id(sw.name)), text_cell(sw.position),
                 text_cell(roles), yes(sw.snooping), yes(sw.fast_leave),
                 number_cell(sw.priority, 0)}};
        const bool known = load != network.switches.end();
        const auto add_pair = [&](double value, const std::optional<int>& most) {
            row.cells.push_back(known ? against(value, most) : Cell{});
            row.cells.push_back(limit(most));
        };
        add_pair(known ? static_cast<double>(load->groups) : 0, sw.group_table);
        add_pair(known ? static_cast<double>(load->joins_on_a_port) : 0, sw.joins_per_port);
        add_pair(known ? static_cast<double>(load->queue_frames) : 0, sw.port_queue);
        row.cells.push_back(known ? against(load->reports_after_query, sw.reports_per_second) : Cell{});
        add_pair(known ? load->reports_after_power_cut : 0, sw.reports_per_second);
        const bool over = std::any_of(row.cells.begin(), row.cells.end(), [](const Cell& c) { return c.fit == Fit::out; });
        weights.push_back({"switch", known ? static_cast<double>(load->groups) : 0, over || !roles.empty() || !sw.snooping});
        out.rows.push_back(std::move(row));
    }
    choose_for_paper(out, weights, "the 40 that hold most groups, all with a role and all that are over", "");
    return out;
}

// Failures that cut off the same zones share a row.
SheetTable cut_off_table(const PlanIndex& index) {
    std::map<std::string, std::vector<std::string>> zones_of;  // by failure
    for (const auto& cut : index.plan().network.cut_off) zones_of[cut.failure].push_back(cut.zone);
    std::map<std::vector<std::string>, std::vector<std::string>> failures_of;  // by zones
    for (const auto& [failure, zones] : zones_of) failures_of[zones].push_back(failure);
    SheetTable out{"cut-off-list",
                   "Zones cut off by a single failure",
                   {{"Any one of these failures"}, {"Zones", "", true}, {"Which zones"}},
                   {},
                   true};
    std::vector<RowWeight> weights;
    for (const auto& [zones, failures] : failures_of) {
        out.rows.push_back({"", {text_cell(listed(failures)), count_cell(zones.size()), text_cell(listed(zones))}});
        weights.push_back({"row", static_cast<double>(zones.size()), false});
    }
    choose_for_paper(out, weights, "the 40 that cut off most zones", "");
    return out;
}

SheetTable source_loss_table(const PlanIndex& index) {
    SheetTable out{"source-loss-list",
                   "Streams that the network loses with their sender",
                   {{"Failure"}, {"Streams", "", true}},
                   {}};
    for (const auto& loss : index.plan().network.source_losses)
        out.rows.push_back({"", {text_cell(loss.failure), count_cell(loss.carriages.size())}});
    return out;
}

std::string loads_csv(const Venue& venue, const Plan& plan) {
    return to_csv(load_table_in_full(PlanIndex(venue, plan)));
}

}  // namespace mastline
