// SPDX-License-Identifier: Apache-2.0
// The network that carries the lineup: switches, links and zones of displays.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/findings/place.hpp"
#include "mastline/net/mac_address.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/units/ticks.hpp"
#include "mastline/venue/addressing_policy.hpp"

namespace mastline {

struct Switch {
    std::string name;
    std::string position;
    std::optional<MacAddress> mac;       // decides between equal priorities; else the name does
    bool snooping = true;
    bool querier = false;
    std::optional<IpAddress> querier_address;
    bool multicast_router = false;       // a router (PIM) sits here
    bool floods_without_querier = true;  // else it stops forwarding groups once memberships age out
    bool floods_unregistered = false;    // groups that nobody joined go to every port
    bool fast_leave = false;             // on ports with displays
    int priority = 32768;                // spanning tree, lowest is root
    std::optional<int> group_table;      // groups its table holds
    std::optional<int> joins_per_port;
    std::optional<int> reports_per_second;  // IGMP/MLD reports its processor takes
    std::optional<int> port_queue;          // frames that the queue of one port holds
    Place place;
};

enum class BundleHash : std::uint8_t { unknown, mac, address, address_and_port };

// A full-duplex link between two switches, or a bundle of them.
struct Link {
    std::string name;
    std::string from, to;        // switch names
    BitRate speed;               // of one member
    int members = 1;
    BundleHash hash = BundleHash::unknown;
    std::optional<int> cost;     // spanning tree or routing metric; from the speed otherwise
    bool keeps_cost = true;      // when a member fails
    double load_limit = 0.8;     // fraction of the speed that may be planned
    bool tagged = true;          // frames carry the VLAN tag, where the policy names a VLAN
    Place place, from_place, to_place;
};

// A channel number as a zone names it.
struct ChannelRef {
    std::string number;
    Place place;
};

// Receivers behind one switch, one to a port.
struct Zone {
    std::string name;
    std::string attached_to;           // switch
    int displays = 0;
    BitRate port_speed;                // of each display's port
    bool tagged = false;               // frames to the displays keep the VLAN tag
    std::vector<ChannelRef> defaults;  // channels shown as scheduled, dealt round-robin
    std::vector<ChannelRef> recorded;  // joined all the time (recorders, static joins)
    Place place, attached_place;
};

enum class Forwarding : std::uint8_t { spanning_tree, routed };

// How the network as a whole forwards, and the timers of group membership (RFC 2236, RFC 3376).
struct NetworkPolicy {
    Forwarding forwarding = Forwarding::spanning_tree;
    int igmp_version = 3;
    int robustness = 2;
    Duration query_interval = std::chrono::seconds(125);
    Duration query_response = std::chrono::seconds(10);
    Duration last_member_query_interval = std::chrono::seconds(1);
    std::optional<Duration> leave_latency;  // measured; else from the timers
    double zaps_per_display_second = 0;     // channel changes per display at the busiest time
    Place place;
};

}  // namespace mastline
