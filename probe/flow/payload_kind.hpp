// SPDX-License-Identifier: Apache-2.0
// What a UDP payload is, by its own bytes.
#pragma once

#include <optional>

#include "mastline/rtp/header.hpp"

namespace mastline {

enum class PayloadKind : std::uint8_t { transport_packets, rtp_transport_packets, rtp_fec, other };

struct Payload {
    PayloadKind kind = PayloadKind::other;
    ByteView transport;  // whole and partial transport packets
    RtpHeader rtp;       // for the two RTP kinds
    ByteView repair{};   // what stands behind the RTP header of rtp_fec
    std::size_t wire_size = 0;  // of the transport packets; set by classify_cut() alone
};

// `settled`: what the flow carried before, if anything. It decides where damage (a wrong sync byte)
// leaves room for doubt. Of a datagram that the capture kept in part, `wire_size` bytes were sent.
Payload classify(ByteView datagram, PayloadKind settled);
Payload classify_cut(ByteView datagram, std::size_t wire_size, PayloadKind settled);

}  // namespace mastline
