// SPDX-License-Identifier: Apache-2.0
#include "mastline/net/mac_address.hpp"
#include "mastline/sheets/sheets.hpp"
#include "mastline/venue/carriage_rate.hpp"
#include "planner/sheets/facts.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

std::string range_text(const GroupRange& range) {
    std::string out = to_text(range.first);
    if (range.last != range.first) out += " to " + to_text(range.last);
    if (!range.tag.empty()) out += " (" + range.tag + ")";
    return out;
}

std::string_view to_text(GroupScheme scheme) {
    return scheme == GroupScheme::sequential  ? "in sequence"
           : scheme == GroupScheme::by_number ? "by channel number"
                                              : "by tag";
}

// "5006, 5008": by column, by row.
std::string fec_ports(const Channel& channel, UdpPort port, const AddressingPolicy& policy) {
    const auto* fec = fec_of(channel, policy);
    if (fec == nullptr) return "none";
    return std::to_string(port.number + 2) + (fec->row_packets ? ", " + std::to_string(port.number + 4) : "");
}

std::string policy_facts(const PlanIndex& index) {
    const AddressingPolicy& policy = index.venue().addressing;
    std::string ranges;
    for (const auto& range : policy.ranges)
        ranges += (ranges.empty() ? "" : ", ") + range_text(range);
    std::string out =
        "<dl class=\"facts\">" + fact("Ranges", ranges.empty() ? "none" : ranges) +
        fact("Scheme", std::string(to_text(policy.scheme))) +
        fact("Collision-free groups", std::to_string(index.plan().addressing.capacity)) +
        fact("In use", std::to_string(index.plan().addressing.carriages.size())) +
        fact("Encapsulation", policy.encapsulation == Encapsulation::rtp ? "RTP" : "UDP") +
        fact("Packets in a datagram", std::to_string(policy.packets_per_datagram)) +
        fact("Joins", policy.source_specific ? "source and group" : "group") +
        fact("TTL", std::to_string(policy.ttl)) + fact("DSCP", std::to_string(policy.dscp));
    if (policy.fec)
        out += fact("FEC", std::to_string(policy.fec->columns) + " columns by " + std::to_string(policy.fec->rows) +
                               " rows, sent by column" + (policy.fec->row_packets ? " and by row" : ""));
    if (policy.vlan) out += fact("VLAN", std::to_string(*policy.vlan));
    for (const auto& taken : index.venue().occupied)
        out += fact("Occupied",
                    range_text(taken.range) + (taken.what.empty() ? "" : ": " + taken.what));
    return out + "</dl>\n";
}

}  // namespace

SheetTable address_table(const PlanIndex& index) {
    SheetTable out{"address-list",
                   "Groups in use",
                   {{"Group"},
                    {"Port", "", true},
                    {"Ethernet address"},
                    {"Source"},
                    {"Channel"},
                    {"Name"},
                    {"Copy", "", true},
                    {"TTL", "", true},
                    {"DSCP", "", true}},
                   {},
                   true};
    const bool some_wait = !index.plan().addressing.silent.empty();
    if (some_wait) out.columns.push_back({"Sent"});
    const auto& policy = index.venue().addressing;
    if (policy.fec) out.columns.push_back({"FEC ports"});
    const auto carriages = index.carriages();
    for (std::size_t i = 0; i < carriages.size(); ++i) {
        const auto* address = carriages[i].address;
        if (address == nullptr) continue;
        const auto* flow = carriages[i].expectation;
        const Channel& channel = *carriages[i].channel;
        out.rows.push_back(
            {"t-flow-" + std::to_string(i),
             {text_cell(to_text(address->flow.group)), number_cell(address->flow.port.number, 0),
              text_cell(to_text(mac_of(address->flow.group))),
              text_cell(address->source ? to_text(*address->source) : ""),
              channel_cell(channel.number, "t-ch-" + std::to_string(carriages[i].index)),
              text_cell(channel.name), number_cell(carriages[i].copy, 0),
              number_cell(flow ? flow->ttl : policy.ttl, 0),
              number_cell(flow ? flow->dscp : policy.dscp, 0)}});
        if (some_wait)
            out.rows.back().cells.push_back(text_cell(carriages[i].is_silent ? "once copy 1 is lost" : "all the time"));
        if (policy.fec) out.rows.back().cells.push_back(text_cell(fec_ports(channel, address->flow.port, policy)));
    }
    return out;
}

Sheet address_sheet(const PlanIndex& index) {
    Sheet sheet{"addresses", "Addresses", policy_facts(index), Scale::none};
    const auto table = address_table(index);
    sheet.body += table.rows.empty() ? "<p>No group is in use.</p>\n" : to_html(table);
    return sheet;
}

std::string addresses_csv(const Venue& venue, const Plan& plan) {
    return to_csv(address_table(PlanIndex(venue, plan)));
}

}  // namespace mastline
