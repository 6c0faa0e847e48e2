// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "mastline/text/table_reader.hpp"
#include "mastline/venue/section.hpp"
#include "planner/venue/network_tables.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 8> kPolicyKeys{{
    {"forwarding", "one of: spanning-tree, routed", false,
     "How streams find their way: along the spanning tree (default), or routed by PIM along the "
     "shortest path from each source."},
    {"igmp_version", "whole number", false, "2 or 3; default 3."},
    {"robustness", "whole number", false,
     "Robustness variable of RFC 3376, 1 to 7; default 2."},
    {"query_interval", "duration", false, "Between general queries; default 125 s."},
    {"query_response", "duration", false,
     "Time within which hosts answer a general query; default 10 s."},
    {"last_member_query_interval", "duration", false,
     "Between the group queries after a leave; default 1 s."},
    {"leave_latency", "duration", false,
     "From a leave to the end of the stream; default last_member_query_interval x robustness."},
    {"zaps_per_display_second", "number", false,
     "Channel changes per display and second at the busiest time; default 0."},
}};

constexpr std::array<std::pair<std::string_view, Forwarding>, 2> kForwarding{{
    {"spanning-tree", Forwarding::spanning_tree},
    {"routed", Forwarding::routed},
}};

}  // namespace

const TableDoc kNetworkDoc{"[network]", "How the network as a whole forwards streams.", kPolicyKeys};

void read_network_policy(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kNetworkDoc, findings);
    auto& n = venue.network;
    n.place = r.place();
    n.forwarding = r.choice<Forwarding>("forwarding", "way of forwarding", kForwarding)
                       .value_or(n.forwarding);
    n.igmp_version = static_cast<int>(r.integer("igmp_version", 2, 3).value_or(n.igmp_version));
    n.robustness = static_cast<int>(r.integer("robustness", 1, 7).value_or(n.robustness));
    const auto span = [&r](std::string_view key, Duration fallback, Duration least) {
        return r.quantity_at_least<Duration>(key, least).value_or(fallback);
    };
    using std::chrono::milliseconds;
    using std::chrono::seconds;
    n.query_interval = span("query_interval", n.query_interval, seconds(1));
    n.query_response = span("query_response", n.query_response, milliseconds(100));
    n.last_member_query_interval =
        span("last_member_query_interval", n.last_member_query_interval, milliseconds(100));
    n.leave_latency = r.quantity_at_least<Duration>("leave_latency", Duration(0));
    n.zaps_per_display_second =
        r.number("zaps_per_display_second", 0, 10).value_or(n.zaps_per_display_second);
    if (n.query_response >= n.query_interval)  // RFC 3376 section 8.3
        r.fault("network.query-response-too-long", r.place_of("query_response"),
                "'query_response' is " + to_text(n.query_response) + ", not less than the query "
                "interval of " + to_text(n.query_interval),
                "make it shorter");
}

std::vector<VenueSection> network_sections() {
    return {
        {"addressing", false, {&kAddressingDoc, &kAddressRangeDoc, &kFecDoc}, read_addressing},
        {"occupied", true, {&kOccupiedDoc}, read_occupied},
        {"network", false, {&kNetworkDoc}, read_network_policy},
        {"switch", true, {&kSwitchDoc}, read_switch},
        {"link", true, {&kLinkDoc}, read_link},
        {"zone", true, {&kZoneDoc}, read_zone},
    };
}

}  // namespace mastline
