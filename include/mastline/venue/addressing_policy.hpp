// SPDX-License-Identifier: Apache-2.0
// Which groups and ports the site gives to the lineup, and which are taken already.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "mastline/findings/place.hpp"
#include "mastline/net/group_range.hpp"
#include "mastline/units/ticks.hpp"
#include "mastline/venue/channels.hpp"

namespace mastline {

enum class GroupScheme : std::uint8_t { sequential, by_number, by_tag };

struct GroupRange {
    Group first, last;
    std::string tag;  // genre or picture class that the range is for (by_tag); empty: any
    Place place;
};

constexpr GroupSpan span_of(const GroupRange& range) { return {range.first, range.last}; }

struct Occupied {
    GroupRange range;   // one group: first == last
    std::string what;   // "paging"
};

// Forward error correction over a matrix of RTP datagrams: column packets on port + 2, row packets
// on port + 4 of the same group.
struct FecPolicy {
    int columns = 10;  // L
    int rows = 10;     // D
    bool row_packets = true;
    std::vector<PictureClass> classes;  // the channels that get it
};

struct AddressingPolicy {
    std::vector<GroupRange> ranges;
    std::vector<GroupRange> reserved;  // inside the ranges, kept free
    std::vector<GroupRange> scopes;    // the site's own RFC 2365 scopes; the last 256 stay free
    GroupScheme scheme = GroupScheme::sequential;
    UdpPort port{5004};
    int port_step = 0;  // port + step x channel number; 0: one port for all
    UdpPort dynamic_first{49152}, dynamic_last{65535};  // ports that hosts take at will (RFC 6335)
    Encapsulation encapsulation = Encapsulation::udp;
    int packets_per_datagram = 7;
    std::optional<FecPolicy> fec;
    bool source_specific = false;
    std::optional<std::uint32_t> as_number;  // the site's own, for GLOP groups (RFC 3180)
    std::vector<IpPrefix> own_prefixes;      // unicast, for groups made of them (RFC 6034, RFC 3306)
    int ttl = 16;
    int dscp = 24;  // CS3, broadcast video (RFC 4594)
    std::optional<int> vlan;
    Duration rest = std::chrono::hours(24 * 30);  // a freed group is not given out again before
    Place place;
};

}  // namespace mastline
