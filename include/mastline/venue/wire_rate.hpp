// SPDX-License-Identifier: Apache-2.0
// What a stream of transport packets costs on an Ethernet:
//
//   preamble 8 | Ethernet 14 | VLAN tag 4 | IP 20 or 40 | UDP 8 | RTP 12 | n x 188 | FCS 4 | gap 12
//
// An interface counter sees neither preamble nor FCS nor gap.
#pragma once

#include <cstdint>

#include "mastline/net/ip_address.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/venue/addressing_policy.hpp"

namespace mastline {

enum class Layer : std::uint8_t { wire, interface_counter };

struct WireFormat {
    Encapsulation encapsulation = Encapsulation::udp;
    int packets_per_datagram = 7;
    IpVersion ip = IpVersion::v4;
    bool tagged = false;
    Layer layer = Layer::wire;
};

// Bytes around the transport packets of one datagram.
constexpr std::int64_t overhead_bytes(const WireFormat& f) {
    const int ethernet = 14 + (f.tagged ? 4 : 0) + (f.layer == Layer::wire ? 8 + 4 + 12 : 0);
    const int ip = f.ip == IpVersion::v4 ? 20 : 40;
    return ethernet + ip + 8 + (f.encapsulation == Encapsulation::rtp ? 12 : 0);
}

constexpr std::int64_t payload_bytes(const WireFormat& f) {
    return std::int64_t{188} * f.packets_per_datagram;
}

// rate x part / whole, rounded up to the next bit per second.
constexpr BitRate scaled(BitRate rate, std::int64_t part, std::int64_t whole) {
    return BitRate((rate.bits_per_second() * part + whole - 1) / whole);
}

// Of the media datagrams alone.
constexpr BitRate wire_rate(BitRate transport, const WireFormat& f) {
    return scaled(transport, payload_bytes(f) + overhead_bytes(f), payload_bytes(f));
}

// Of the FEC packets, each as long as a media datagram and a header of 16 bytes: one per column of
// `rows` datagrams, and one per row of `columns`.
constexpr BitRate fec_rate(BitRate transport, const WireFormat& f, const FecPolicy& fec) {
    const std::int64_t bytes = payload_bytes(f) + overhead_bytes(f) + 16;
    const std::int64_t packets = fec.columns + (fec.row_packets ? fec.rows : 0);
    return scaled(transport, bytes * packets, payload_bytes(f) * fec.columns * fec.rows);
}

// Frames per second of the media datagrams, and of the FEC packets where there are any.
constexpr double frames_per_second(BitRate transport, const WireFormat& f, const FecPolicy* fec) {
    const double media = static_cast<double>(transport.bits_per_second()) / (8.0 * static_cast<double>(payload_bytes(f)));
    if (fec == nullptr) return media;
    const double repair = 1.0 / fec->rows + (fec->row_packets ? 1.0 / fec->columns : 0);
    return media * (1 + repair);
}

}  // namespace mastline
