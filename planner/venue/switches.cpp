// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "mastline/text/table_reader.hpp"
#include "planner/venue/network_tables.hpp"
#include "planner/venue/sender_address.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 15> kSwitchKeys{{
    {"name", "text", true, "Name that links, zones and cards refer to."},
    {"position", "text", false, "Where it stands."},
    {"mac", "MAC address", false,
     "Bridge address: decides between switches of equal priority; without it the name does."},
    {"snooping", "true or false", false, "It snoops on IGMP and MLD; default true."},
    {"querier", "true or false", false, "It may be the querier; default false."},
    {"querier_address", "IP address", false,
     "Address its queries come from; the lowest wins the election (RFC 2236)."},
    {"multicast_router", "true or false", false, "A multicast router sits here; default false."},
    {"floods_without_querier", "true or false", false,
     "With no querier left it floods groups (true, default) or stops forwarding them (false)."},
    {"floods_unregistered", "true or false", false,
     "Groups that nobody joined go to every port; default false (router ports only, RFC 4541)."},
    {"fast_leave", "true or false", false,
     "Ports with displays stop at once on a leave; default false."},
    {"priority", "whole number", false,
     "Spanning tree bridge priority, 0 to 65535, lowest is root; default 32768."},
    {"group_table", "whole number", false, "Groups that its forwarding table holds."},
    {"joins_per_port", "whole number", false, "Groups that one port may join."},
    {"reports_per_second", "whole number", false, "Membership reports that it can take in."},
    {"port_queue", "whole number", false, "Frames that the queue of one port holds."},
}};

}  // namespace

const TableDoc kSwitchDoc{"[[switch]]", "A switch of the network.", kSwitchKeys};

void read_switch(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kSwitchDoc, findings);
    Switch s;
    s.place = r.place();
    s.name = r.text("name").value_or("");
    s.position = r.text("position").value_or("");
    s.mac = r.quantity<MacAddress>("mac");
    s.snooping = r.boolean("snooping").value_or(s.snooping);
    s.querier = r.boolean("querier").value_or(s.querier);
    s.querier_address = read_sender_address(r, "querier_address", "network.bad-querier-address", "a querier",
                                            "give the switch's own address in the VLAN of the streams");
    s.multicast_router = r.boolean("multicast_router").value_or(s.multicast_router);
    s.floods_without_querier =
        r.boolean("floods_without_querier").value_or(s.floods_without_querier);
    s.floods_unregistered = r.boolean("floods_unregistered").value_or(s.floods_unregistered);
    s.fast_leave = r.boolean("fast_leave").value_or(s.fast_leave);
    s.priority = static_cast<int>(r.integer("priority", 0, 65535).value_or(s.priority));
    const auto limit = [&r](std::string_view key) -> std::optional<int> {
        const auto n = r.integer(key, 1, 10'000'000);
        return n ? std::optional(static_cast<int>(*n)) : std::nullopt;
    };
    s.group_table = limit("group_table");
    s.joins_per_port = limit("joins_per_port");
    s.reports_per_second = limit("reports_per_second");
    s.port_queue = limit("port_queue");
    if (!s.name.empty()) venue.switches.push_back(std::move(s));
}

}  // namespace mastline
