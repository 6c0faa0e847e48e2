// SPDX-License-Identifier: Apache-2.0
// What a UDP payload is, by its own bytes.
#pragma once

#include <optional>
#include <vector>

#include "mastline/mpeg/pid.hpp"
#include "mastline/rtp/header.hpp"

namespace mastline {

enum class PayloadKind : std::uint8_t { transport_packets, rtp_transport_packets, rtp_fec, other };

// How transport packets lie in a datagram: bare, with 16 bytes of an outer code behind each (SMPTE ST 2022-2, from
// memory; ETSI EN 300 421 clause 4.4.2), or with four bytes of time before each (IEC 62481-2, from memory).
enum class PacketForm : std::uint8_t { bare, with_code, with_time };

constexpr std::size_t size_of(PacketForm form) { return form == PacketForm::bare ? kTsPacketSize : form == PacketForm::with_code ? 204 : 192; }
constexpr std::size_t sync_of(PacketForm form) { return form == PacketForm::with_time ? 4 : 0; }

struct Payload {
    PayloadKind kind = PayloadKind::other;
    ByteView transport;  // whole and partial transport packets, in `form`
    RtpHeader rtp;       // for the two RTP kinds
    ByteView repair{};   // what stands behind the RTP header of rtp_fec
    std::size_t wire_size = 0;  // of the transport packets; set by classify_cut() alone
    PacketForm form = PacketForm::bare;
};

// `settled`: what the flow carried before, if anything. It decides where damage (a wrong sync byte)
// leaves room for doubt; `form`: that its packets had. Of a datagram that the capture kept in part, `wire_size` bytes were sent.
Payload classify(ByteView datagram, PayloadKind settled, PacketForm form = PacketForm::bare);
Payload classify_cut(ByteView datagram, std::size_t wire_size, PayloadKind settled);

// The bare packets of a payload in another form, into `out`.
void strip(ByteView packets, PacketForm form, std::vector<std::byte>& out);

}  // namespace mastline
