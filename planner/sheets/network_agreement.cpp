// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/network_agreement.hpp"

#include <algorithm>
#include <set>

#include "mastline/network/membership_timers.hpp"
#include "mastline/network/querier_election.hpp"
#include "mastline/text/escape.hpp"
#include "mastline/venue/carriage_rate.hpp"
#include "planner/sheets/facts.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/network_chart.hpp"
#include "planner/sheets/rate_cell.hpp"

namespace mastline {

namespace {

constexpr std::size_t kMostSpans = 8;   // of groups; beyond, all stand at the end
constexpr std::size_t kMostLinks = 14;  // rows that one page takes, those over their limit first
constexpr std::size_t kMostQueriers = 4;
constexpr std::string_view kWhole = "complete in the table of loads on the sheet Network load";
constexpr std::size_t kMostSenders = 12;

std::string mbps(BitRate rate) { return fixed_text(megabits(rate), 1) + " Mbit/s"; }

using Spans = std::vector<std::pair<Group, Group>>;

Spans spans_of(const std::vector<CarriageAddress>& carriages) {
    std::set<Group> groups;
    for (const auto& carriage : carriages) groups.insert(carriage.flow.group);
    Spans spans;
    const auto follows = [](const Group& a, const Group& b) {
        return a.address().is_v4() && b.address().is_v4() &&
               b.address().v4_value() == a.address().v4_value() + 1;
    };
    for (const auto& group : groups) {
        if (!spans.empty() && follows(spans.back().second, group)) spans.back().second = group;
        else spans.emplace_back(group, group);
    }
    return spans;
}

// "239.192.0.1 to 239.192.0.8, 239.192.0.101"
std::string text_of(const Spans& spans) {
    std::string out;
    for (const auto& [first, last] : spans)
        out += (out.empty() ? "" : ", ") + to_text(first) +
               (first == last ? "" : " to " + to_text(last));
    return out;
}

std::string groups_in_use(const PlanIndex& index) {
    const auto spans = spans_of(index.plan().addressing.carriages);
    if (spans.empty()) return "none";
    if (spans.size() <= kMostSpans) return text_of(spans);
    return std::to_string(spans.size()) + " runs from " + to_text(spans.front().first) + " to " +
           to_text(spans.back().second) + ", all at the end of this agreement";
}

std::string groups_in_full(const PlanIndex& index) {
    const auto spans = spans_of(index.plan().addressing.carriages);
    if (spans.size() <= kMostSpans) return "";
    return "<section class=\"annex\"><h3>All groups of this agreement</h3><p>" + text_of(spans) +
           ".</p></section>\n";
}

std::string ports_in_use(const PlanIndex& index) {
    std::set<int> ports;
    for (const auto& carriage : index.plan().addressing.carriages) {
        ports.insert(carriage.flow.port.number);
    }
    if (ports.empty()) return "none";
    std::string out = std::to_string(*ports.begin());
    if (ports.size() > 1) out += " to " + std::to_string(*ports.rbegin());
    if (index.venue().addressing.encapsulation == Encapsulation::rtp) out += ", RTCP on port + 1";
    const auto& fec = index.venue().addressing.fec;
    if (fec) out += fec->row_packets ? ", FEC on port + 2 and + 4" : ", FEC on port + 2";
    return out;
}

// Cards that a switch must let send though they are silent now.
std::string second_senders(const PlanIndex& index) {
    const auto& silent = index.plan().addressing.silent;
    std::set<std::string> senders;
    for (const auto& carriage : silent) {
        const auto& card = index.venue().cards[index.plan().assignment.homes[carriage.home].card];
        senders.insert(card.name + (card.source ? " (" + to_text(*card.source) + ")" : ""));
    }
    if (senders.empty()) return "";
    std::string names;
    for (const auto& sender : senders) names += (names.empty() ? "" : ", ") + sender;
    return fact("Second senders", counted(silent.size(), "group", "groups") + " also from " + names +
                                      ", each only once it hears the first sender no more; until then it joins the group to listen");
}

struct Totals {
    BitRate transport, wire, heaviest;
};

Totals totals_of(const PlanIndex& index) {
    const AddressingPolicy& policy = index.venue().addressing;
    Totals out;
    for (const auto& carriage : index.carriages()) {
        if (carriage.expectation == nullptr || carriage.address == nullptr || carriage.is_silent) continue;
        const WireFormat format{policy.encapsulation, policy.packets_per_datagram,
                                carriage.address->flow.group.address().version(),
                                policy.vlan.has_value()};
        const BitRate wire = rate_with_fec(*carriage.channel, carriage.expectation->rate, format, policy);
        out.transport += carriage.expectation->rate;
        out.wire += wire;
        out.heaviest = std::max(out.heaviest, wire);
    }
    return out;
}

std::string streams(const PlanIndex& index) {
    const AddressingPolicy& policy = index.venue().addressing;
    const Totals totals = totals_of(index);
    const WireFormat v4{policy.encapsulation, policy.packets_per_datagram, IpVersion::v4,
                        policy.vlan.has_value()};
    // The DS field is the upper six bits of the octet (RFC 2474).
    return "<h3>What is sent</h3><dl class=\"facts\">" +
           fact("Streams", std::to_string(index.plan().addressing.carriages.size())) +
           fact("Groups", groups_in_use(index)) + second_senders(index) +
           fact("UDP ports", ports_in_use(index)) +
           fact("Payload", std::string(policy.encapsulation == Encapsulation::rtp ? "RTP" : "UDP") +
                               ", " + std::to_string(policy.packets_per_datagram) +
                               " transport packets, " + std::to_string(payload_bytes(v4)) + " bytes") +
           fact("All streams", mbps(totals.transport) + " transport, " + mbps(totals.wire) +
                                   " on the wire (preamble, FCS and gap counted)") +
           fact("Heaviest stream", mbps(totals.heaviest) + " on the wire") +
           fact("VLAN", policy.vlan ? std::to_string(*policy.vlan) : "untagged") +
           fact("DSCP", std::to_string(policy.dscp) + " (octet " + std::to_string(policy.dscp * 4) + ")") +
           fact("TTL", std::to_string(policy.ttl)) +
           fact("Joins", policy.source_specific ? "by source and group" : "by group") + "</dl>\n";
}

std::string senders(const PlanIndex& index) {
    std::string rows;
    std::size_t count = 0;
    for (const auto& load : index.plan().network.links) {
        if (load.of != LoadOf::card) continue;
        if (load.worst_mix <= BitRate{}) continue;
        if (++count > kMostSenders) continue;
        const auto& card = index.venue().cards[load.index];
        const std::string source = card.source ? to_text(*card.source) : "";
        rows += "<tr><td>" + escape_markup(load.from) + "</td><td>" + source + "</td><td>" +
                escape_markup(load.to) + "</td><td class=\"num\">" +
                fixed_text(megabits(load.worst_mix), 1) + "</td></tr>";
    }
    if (rows.empty()) return "";
    std::string out =
        "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"Senders\"><h3>Senders</h3><table class=\"plain\"><thead><tr><th scope=\"col\">Card</th><th scope=\"col\">Source"
        "</th><th scope=\"col\">Switch</th><th scope=\"col\" class=\"num\">Sends (Mbit/s)</th></tr>"
        "</thead><tbody>" + rows + "</tbody></table>";
    if (count > kMostSenders)
        out += "<p>Left out here: " + counted(count - kMostSenders, "sender", "senders") + ", " + std::string(kWhole) +
               ".</p>";
    return out + "</div>\n";
}

// "core-1 (10.0.0.2); then core-2 (10.0.0.3)", in the order of the election.
std::string querier_place(const PlanIndex& index) {
    if (index.venue().network.forwarding == Forwarding::routed) return std::string(kRoutedQueriers);
    const std::string& elected = index.plan().network.querier;
    std::string first = "none elected", next;
    std::size_t others = 0;
    for (const auto* sw : queriers_by_turn(index)) {
        const std::string name = sw->name + (sw->querier_address ? " (" + to_text(*sw->querier_address) + ")" : "");
        if (sw->name == elected) first = name;
        else if (++others <= kMostQueriers) next += (next.empty() ? "" : ", ") + name;
    }
    if (others > kMostQueriers) next += " and " + std::to_string(others - kMostQueriers) + " more";
    return next.empty() ? first : first + "; then " + next;
}

std::string router_ports(const PlanIndex& index) {
    std::string out;
    std::size_t count = 0;
    for (const auto& load : index.plan().network.links) {
        if (!load.to_multicast_router) continue;
        if (++count <= 8) out += (out.empty() ? "" : ", ") + direction_name(index, load);
    }
    if (count == 0) return "none";
    return count > 8 ? std::to_string(count) + " link directions, marked in the table of loads on the sheet Network load"
                     : out;
}

std::string membership(const PlanIndex& index) {
    const NetworkPolicy& policy = index.venue().network;
    return "<h3>Membership and forwarding</h3><dl class=\"facts\">" +
           fact("Protocol", membership_protocol(index)) +
           fact("Forwarding", policy.forwarding == Forwarding::routed
                                  ? "routed"
                                  : "spanning tree, root " + index.plan().network.tree_root) +
           fact("Querier", querier_place(index)) +
           fact("Query interval", to_text(policy.query_interval)) +
           fact("Query response", to_text(policy.query_response)) +
           fact("Robustness", std::to_string(policy.robustness)) +
           fact("Last-member query interval", to_text(policy.last_member_query_interval)) +
           fact("Leave latency", to_text(leave_latency(policy))) +
           fact("Membership ends after", to_text(membership_interval(policy))) +
           (policy.forwarding == Forwarding::routed
                ? ""
                : fact("Silent querier replaced after", to_text(other_querier_interval(policy)))) +
           fact("Router ports (get every group)", router_ports(index)) + "</dl>\n";
}

std::string agreed_load_row(const PlanIndex& index, const LinkLoad& load) {
    const auto number = [](BitRate rate) {
        return "<td class=\"num\">" + fixed_text(megabits(rate), 1) + "</td>";
    };
    return "<tr><td>" + escape_markup(direction_name(index, load)) + "</td>" + number(load.capacity) +
           number(load.limit) + number(load.scheduled) + number(load.worst_mix) +
           number(load.worst_failure) + "<td>" + escape_markup(load.failure) + "</td><td class=\"" +
           std::string(to_text(fit_of(load))) + "\">" + verdict_of(load) + "</td></tr>";
}

std::string loads(const PlanIndex& index) {
    std::vector<const LinkLoad*> links;
    for (const auto& load : index.plan().network.links)
        if (load.of == LoadOf::link) links.push_back(&load);
    if (links.empty()) return "";
    const auto fullness = [](const LinkLoad* l) {
        return std::pair(fit_of(*l) != Fit::good, share_of(l->worst_failure, l->limit));
    };
    std::stable_sort(links.begin(), links.end(),
                     [&](const LinkLoad* a, const LinkLoad* b) { return fullness(a) > fullness(b); });
    const std::size_t all = links.size(), shown = std::min(all, kMostLinks);
    const auto over = static_cast<std::size_t>(std::count_if(
        links.begin() + static_cast<std::ptrdiff_t>(shown), links.end(), [](const LinkLoad* l) { return fit_of(*l) != Fit::good; }));
    links.resize(shown);
    std::string rows;
    for (const auto* load : links) rows += agreed_load_row(index, *load);
    std::string out =
        "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"Link loads\"><h3>Link loads, fullest first</h3><table class=\"plain\"><thead><tr><th scope=\"col\">"
        "Link direction</th><th scope=\"col\" class=\"num\">Capacity (Mbit/s)</th><th scope=\"col\" "
        "class=\"num\">Limit (Mbit/s)</th><th scope=\"col\" class=\"num\">Scheduled (Mbit/s)</th><th "
        "scope=\"col\" class=\"num\">Worst mix (Mbit/s)</th><th scope=\"col\" class=\"num\">Worst failure "
        "(Mbit/s)</th><th scope=\"col\">Which</th><th scope=\"col\">Verdict</th></tr></thead><tbody>" +
        rows + "</tbody></table>";
    if (all > links.size())
        out += "<p>Left out here: " + counted(all - links.size(), "link direction", "link directions") +
               (over > 0 ? ", <b>" + std::to_string(over) + " of them over their limit</b> in the worst mix or in a single failure, none fuller than these; "
                         : ", each within its limit in the worst mix and in every single failure, and less full than these; ") +
               std::string(kWhole) + ".</p>";
    return out + "</div>\n";
}

// What the network must give, in figures that were computed for it.
std::string limits(const PlanIndex& index) {
    const auto& network = index.plan().network;
    std::int64_t groups = 0, joins = 0, frames = 0;
    double reports = 0;
    for (const auto& load : network.switches) {
        groups = std::max(groups, load.groups);
        joins = std::max(joins, load.joins_on_a_port);
        frames = std::max(frames, load.queue_frames);
        reports = std::max(reports, load.reports_after_power_cut);
    }
    std::size_t unsnooped = 0;
    for (const auto& sw : index.venue().switches) unsnooped += sw.snooping ? 0 : 1;
    std::string out = "<h3>What the network gives</h3><ul>";
    const auto item = [&](const std::string& text) { out += "<li>" + escape_markup(text) + "</li>"; };
    item("Room for " + std::to_string(groups) + " groups in the table of the fullest switch, " +
         std::to_string(joins) + " joins on its fullest port");
    item("A queue of " + std::to_string(frames) +
         " frames at a port when the datagrams of all its groups coincide");
    item(fixed_text(reports, 0) + " membership reports per second after a power cut");
    item(unsnooped == 0 ? "Snooping on in every switch"
                        : counted(unsnooped, "switch", "switches") + " without snooping: flooded load counts there");
    item("No link direction above its limit in the worst mix or in a single failure, but where this "
         "agreement says so");
    item(network.cut_off.empty() ? "No single failure cuts a zone off"
                                 : counted(network.cut_off.size(), "pair", "pairs") +
                                       " of failure and zone cut off, all on the sheet Network load");
    return out + "</ul>\n";
}

constexpr std::string_view kAgreementSignatures =
    "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"Signatures\">"
    "<table class=\"check sign\"><thead><tr><th scope=\"col\">Agreed for</th><th scope=\"col\">Name</th>"
    "<th scope=\"col\">Signature</th><th scope=\"col\">Date</th></tr></thead><tbody>"
    "<tr><th scope=\"row\">Network</th><td></td><td></td><td></td></tr>"
    "<tr><th scope=\"row\">Video distribution</th><td></td><td></td><td></td></tr></tbody></table></div>\n";

}  // namespace

std::vector<const Switch*> queriers_by_turn(const PlanIndex& index) {
    std::vector<const Switch*> all, out;
    for (const auto& sw : index.venue().switches) all.push_back(&sw);
    for (const auto i : queriers_in_turn(all)) out.push_back(all[i]);
    return out;
}

std::string membership_protocol(const PlanIndex& index) {
    const int version = index.venue().network.igmp_version;
    const auto& carriages = index.plan().addressing.carriages;
    const auto is_v6 = [](const CarriageAddress& c) { return !c.flow.group.address().is_v4(); };
    const bool some = std::any_of(carriages.begin(), carriages.end(), is_v6);
    const bool all = some && std::all_of(carriages.begin(), carriages.end(), is_v6);
    const std::string igmp = "IGMP version " + std::to_string(version);
    const std::string mld = "MLD version " + std::to_string(std::max(version - 1, 1));
    return all ? mld : some ? igmp + ", " + mld : igmp;
}

std::string network_agreement(const PlanIndex& index) {
    if (index.venue().switches.empty()) return "";
    return streams(index) + membership(index) + "<div class=\"side-by-side\">" + senders(index) + loads(index) +
           "</div>\n" + limits(index) + std::string(kAgreementSignatures) + groups_in_full(index);
}

}  // namespace mastline
