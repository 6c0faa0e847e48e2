// SPDX-License-Identifier: Apache-2.0
// The network that carries the lineup: switches, links, zones of displays, and addressing policy.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "mastline/findings/place.hpp"
#include "mastline/net/group.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

struct Switch {
    std::string name;
    std::string position;
    bool snooping = true;
    bool querier = false;
    std::optional<IpAddress> querier_address;
    bool multicast_router = false;       // a router (PIM) sits here
    bool floods_without_querier = true;  // else it stops forwarding unregistered groups
    int priority = 32768;                // spanning tree, lowest is root
    std::optional<int> group_table;      // groups its table holds
    std::optional<int> joins_per_port;
    bool fast_leave = false;
    Place place;
};

enum class BundleHash : std::uint8_t { unknown, mac, address, address_and_port };

// A full-duplex link between two switches, or a bundle of them.
struct Link {
    std::string name;
    std::string from, to;       // switch names
    BitRate speed;              // of one member
    int members = 1;
    BundleHash hash = BundleHash::unknown;
    std::optional<int> cost;    // spanning tree; from the speed otherwise
    double load_limit = 0.8;    // fraction of the speed that may be planned
    Place place;
};

// Receivers behind one switch.
struct Zone {
    std::string name;
    std::string attached_to;            // switch
    int displays = 0;
    BitRate port_speed;                 // of each display's port
    std::vector<std::string> defaults;  // channel numbers shown as scheduled, dealt round-robin
    std::vector<std::string> recorded;  // channel numbers joined all the time (recorders, static)
    Place place;
};

enum class GroupScheme : std::uint8_t { sequential, by_number, by_tag };

struct GroupRange {
    Group first, last;
    std::string tag;  // genre or class that the range is for (by_tag); empty: any
    Place place;
};

struct Occupied {
    GroupRange range;   // one group: first == last
    std::string what;   // "paging"
};

struct AddressingPolicy {
    std::vector<GroupRange> ranges;
    GroupScheme scheme = GroupScheme::sequential;
    UdpPort port{5004};
    Encapsulation encapsulation = Encapsulation::udp;
    int packets_per_datagram = 7;
    bool source_specific = false;
    int ttl = 16;
    int dscp = 24;  // CS3, broadcast video (RFC 4594)
    std::optional<int> vlan;
    double zaps_per_display_second = 0;  // channel changes per display per second at the busiest time
    Duration query_interval = std::chrono::seconds(125);
    Duration leave_latency = std::chrono::seconds(2);  // RFC 2236/3376: last member query time
    int igmp_version = 3;
    Place place;
};

}  // namespace mastline
