// SPDX-License-Identifier: Apache-2.0
// What the plan says a stream should be: the one thing that planner, probe and rehearsal share.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/mpeg/pid.hpp"
#include "mastline/net/flow.hpp"
#include "mastline/net/vlan.hpp"
#include "mastline/units/bit_rate.hpp"

namespace mastline {

// How transport packets ride in UDP: bare, or behind an RTP header (RFC 2250, payload type 33).
enum class Encapsulation : std::uint8_t { udp, rtp };

struct ExpectedComponent {
    Pid pid;
    std::string kind;      // a name of kStreamKinds: "h264"
    std::string language;  // ISO 639-2, three letters; empty when not told
};

struct Expectation {
    std::string channel;  // number as text: "101", "5.1"
    int copy = 1;         // 2 for the second carriage of a protected channel
    std::string name;     // channel name in the lineup
    FlowAddress flow;
    std::optional<IpAddress> source;  // who sends; a join is source-specific if the next is set
    std::optional<IpAddress> standby_source;  // who sends to the same group once `source` is lost, and is silent till then
    bool source_specific = false;
    Encapsulation encapsulation = Encapsulation::udp;
    int packets_per_datagram = 7;
    BitRate rate;                 // transport rate, null packets included
    BitRate rate_low, rate_high;  // window that a measured rate must lie in
    int ttl = 1;
    int dscp = 0;
    std::optional<VlanId> vlan;  // as sent; displays may get it untagged
    std::uint16_t transport_stream_id = 1;
    ProgramNumber program_number;
    std::string service_name;  // as in the SDT
    std::string provider;
    Pid pmt_pid;
    Pid pcr_pid;
    std::vector<ExpectedComponent> components;
    bool scrambling_allowed = false;
    // Ids of the parts this flow rests on, from roof to switch: "lane:west/1", "carrier:w-11778",
    // "device:ms-1", "card:A1", "chassis:A", "switch:core-1". Causes are traced through them.
    std::vector<std::string> parts;
};

// All flows of one plan, in channel order.
struct ExpectedLineup {
    std::string venue;
    std::string revision;  // content hash of the plan
    std::vector<Expectation> flows;
};

}  // namespace mastline
