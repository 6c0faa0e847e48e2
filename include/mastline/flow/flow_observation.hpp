// SPDX-License-Identifier: Apache-2.0
// Everything seen of one flow: what arrived at one destination address and UDP port.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "mastline/flow/delivery_index.hpp"
#include "mastline/flow/flow_course.hpp"
#include "mastline/flow/repair_observation.hpp"
#include "mastline/flow/spread.hpp"
#include "mastline/mpeg/pid.hpp"
#include "mastline/net/flow.hpp"
#include "mastline/net/vlan.hpp"
#include "mastline/net/wire_number.hpp"
#include "mastline/stream/observation.hpp"

namespace mastline {

// A flow by where it is sent to, and the wire that it is heard on; unicast flows of capture files are flows too.
struct Destination {
    IpAddress address;
    UdpPort port;
    WireNumber wire{};
    friend constexpr auto operator<=>(const Destination&, const Destination&) = default;
    friend constexpr bool operator==(const Destination& a, const Destination& b) {
        return a.address == b.address && ((a.port.number ^ b.port.number) | (a.wire.number ^ b.wire.number)) == 0;
    }
};

// On the only wire.
inline Destination destination_of(const FlowAddress& flow) {
    return {flow.group.address(), flow.port, {}};
}

inline std::string to_text(const Destination& to) {
    const std::string address = to_text(to.address);
    return (to.address.is_v4() ? address : "[" + address + "]") + ":" + std::to_string(to.port.number);
}

// One sender. Only the main source's packets are judged as a transport stream.
struct SourceObservation {
    IpAddress address;
    UdpPort port;
    std::uint64_t datagrams = 0;
    std::optional<Duration> first, last;  // arrival
    bool operator==(const SourceObservation&) const = default;
};

// Least and greatest value seen; none when the way of listening does not tell it.
struct ValueRange {
    int least = 0, greatest = 0;
    bool operator==(const ValueRange&) const = default;
};

// Datagrams that came with these tags.
struct VlanObservation {
    VlanTags tags;
    std::uint64_t datagrams = 0;
    bool operator==(const VlanObservation&) const = default;
};

// Of the main source, FEC included; RFC 3550.
struct RtpObservation {
    std::uint64_t packets = 0;
    std::uint64_t lost = 0;        // expected less received, repeated packets not counted
    std::uint64_t gaps = 0;        // runs of missing packets
    std::uint64_t largest_gap = 0;
    std::uint64_t reordered = 0;   // came after a later one
    std::uint64_t restored = 0;    // of these: soon enough to be put back in its place in the stream
    std::uint64_t duplicates = 0;  // came again; not handed to the stream
    std::uint64_t strays = 0;      // sequence numbers far from all others
    std::uint64_t restarts = 0;    // the sequence began anew
    std::uint64_t ssrc_changes = 0;
    std::uint32_t ssrc = 0;          // the last
    std::uint8_t payload_type = 0;   // the last
    bool operator==(const RtpObservation&) const = default;
};

// Forward error correction of SMPTE 2022-1, recognised by its port and form.
enum class FecRole : std::uint8_t { none, column, row };

struct FlowObservation {
    Destination destination;
    std::uint64_t datagrams = 0;
    std::uint64_t payload_bytes = 0;  // UDP payload
    std::optional<Duration> first, last;  // arrival; none when no datagram was stamped
    std::vector<SourceObservation> sources;  // in order of appearance, at most kMostSources
    std::size_t main_source = 0;             // index into sources
    std::uint64_t source_switches = 0;       // the main source fell silent and another took over
    std::optional<ValueRange> ttl, dscp;     // of the main source
    std::vector<VlanObservation> vlans;      // of the main source, at most kMostVlans; empty when not told
    std::uint64_t udp_datagrams = 0;    // bare transport packets
    std::uint64_t rtp_datagrams = 0;
    std::uint64_t other_datagrams = 0;  // neither
    std::uint64_t truncated_datagrams = 0;  // kept only in part by the capture
    std::uint64_t own_drops = 0;        // datagrams the listening machine dropped; not the network's
    bool own_drops_possible = false;    // it dropped some of flows that it cannot name; perhaps of this one
    std::uint64_t repeated_datagrams = 0;  // bare UDP: same as one of the eight before
    std::uint64_t repeats_continuity_errors = 0;  // of the stream's: those met in these
    std::array<std::uint64_t, 8> packing{};  // datagrams by whole transport packets, 1 to 7; [0]: other, or cut within packets
    std::optional<SpreadObservation> inter_arrival;
    std::optional<Duration> silent_from;  // arrival before the longest inter-arrival time
    std::optional<RtpObservation> rtp;
    std::optional<DeliveryIndexObservation> delivery_index;
    std::optional<CourseObservation> course;  // where it was asked for, of the main source
    FecRole fec = FecRole::none;
    std::optional<RepairObservation> repair;  // of the flow that FEC flows beside it protect
    std::optional<StreamObservation> stream;  // none: no transport stream was recognised

    std::size_t packet_size = kTsPacketSize;  // of transport packets in datagrams, in bytes: 188, 192 or 204
    std::string interface;  // that it was heard on, where a capture has media on several; else empty

    static constexpr std::size_t kMostSources = 16, kMostVlans = 8;

    // What most datagrams are; none when there are no transport packets.
    std::optional<Encapsulation> encapsulation() const {
        if (udp_datagrams == 0 && rtp_datagrams == 0) return std::nullopt;
        return rtp_datagrams > udp_datagrams ? Encapsulation::rtp : Encapsulation::udp;
    }
    // On whatever wire.
    bool goes_to(const FlowAddress& flow) const {
        return destination.address == flow.group.address() && destination.port == flow.port;
    }
    bool operator==(const FlowObservation&) const = default;
};

// "239.192.10.20:5004", or "239.192.10.20:5004 on eth1" where a capture has media on several interfaces.
inline std::string heard_text(const FlowObservation& flow) {
    return to_text(flow.destination) + (flow.interface.empty() ? "" : " on " + flow.interface);
}

}  // namespace mastline
