// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/payload_kind.hpp"

#include "mastline/mpeg/pid.hpp"

namespace mastline {

namespace {

constexpr std::size_t kFecHeader = 16;  // SMPTE 2022-1, behind the RTP header

bool whole_packets(std::size_t size) { return size >= kTsPacketSize && size % kTsPacketSize == 0; }

// Starts with a sync byte, and so does its second packet if there is one.
bool starts_in_sync(ByteView bytes) {
    return bytes.size() >= kTsPacketSize && read_u8(bytes, 0) == kSyncByte &&
           (bytes.size() < kTsPacketSize + 1 || read_u8(bytes, kTsPacketSize) == kSyncByte);
}

Payload rtp_payload(ByteView datagram, const RtpHeader& header, PayloadKind settled) {
    const ByteView body =
        datagram.subspan(header.size, datagram.size() - header.size - header.padding);
    // The payload type is a dynamic one with some senders; sync bytes tell as well.
    const bool plain = header.payload_type == kPayloadTypeMp2t && whole_packets(body.size());
    if (plain || starts_in_sync(body))
        return {PayloadKind::rtp_transport_packets, body, header};
    if (header.payload_type != kPayloadTypeMp2t && body.size() > kFecHeader &&
        whole_packets(body.size() - kFecHeader) &&
        settled != PayloadKind::rtp_transport_packets)
        return {PayloadKind::rtp_fec, {}, header};
    if (settled == PayloadKind::rtp_transport_packets && header.payload_type == kPayloadTypeMp2t)
        return {PayloadKind::rtp_transport_packets, body, header};
    return {};
}

}  // namespace

Payload classify(ByteView datagram, PayloadKind settled) {
    if (starts_in_sync(datagram)) return {PayloadKind::transport_packets, datagram, {}};
    const bool bare = settled == PayloadKind::transport_packets && whole_packets(datagram.size());
    if (!bare)
        if (const auto header = parse_rtp(datagram)) return rtp_payload(datagram, *header, settled);
    // A first packet without its sync byte, among others that have theirs.
    const bool second_in_sync = whole_packets(datagram.size()) && datagram.size() > kTsPacketSize &&
                                read_u8(datagram, kTsPacketSize) == kSyncByte;
    if (bare || second_in_sync || (settled == PayloadKind::transport_packets && !datagram.empty()))
        return {PayloadKind::transport_packets, datagram, {}};
    return {};
}

}  // namespace mastline
