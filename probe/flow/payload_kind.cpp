// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/payload_kind.hpp"

#include <array>

#include "mastline/mpeg/pid.hpp"
#include "mastline/rtp/fec_header.hpp"

namespace mastline {

namespace {

constexpr std::array kOtherForms{PacketForm::with_code, PacketForm::with_time};

bool whole_packets(std::size_t size) { return size >= kTsPacketSize && size % kTsPacketSize == 0; }

// Nothing but whole packets, each with its sync byte.
bool has_form(ByteView bytes, PacketForm form) {
    if (bytes.empty() || bytes.size() % size_of(form) != 0) return false;
    for (std::size_t at = sync_of(form); at < bytes.size(); at += size_of(form))
        if (read_u8(bytes, at) != kSyncByte) return false;
    return true;
}

// That of a first datagram: one packet is too little to tell.
PacketForm other_form(ByteView bytes) {
    for (const auto form : kOtherForms)
        if (bytes.size() > size_of(form) && has_form(bytes, form)) return form;
    return PacketForm::bare;
}

// A stream cut into datagrams as long as whole packets, but elsewhere than between them: each packet has its sync byte,
// not at the beginning. Of fewer than four, other bytes look so by chance.
bool is_cut_between(ByteView bytes) {
    if (!whole_packets(bytes.size()) || bytes.size() < 4 * kTsPacketSize) return false;
    for (std::size_t first = 1; first < kTsPacketSize; ++first) {
        std::size_t at = first;
        while (at < bytes.size() && read_u8(bytes, at) == kSyncByte) at += kTsPacketSize;
        if (at >= bytes.size()) return true;
    }
    return false;
}

// Once a flow has it, a wrong sync byte is damage.
bool keeps_form(ByteView bytes, PacketForm form) { return form != PacketForm::bare && !bytes.empty() && bytes.size() % size_of(form) == 0; }

// Starts with a sync byte, and so does its second packet if there is one.
bool starts_in_sync(ByteView bytes) {
    return bytes.size() >= kTsPacketSize && read_u8(bytes, 0) == kSyncByte &&
           (bytes.size() < kTsPacketSize + 1 || read_u8(bytes, kTsPacketSize) == kSyncByte);
}

// Protects whole transport packets, and says that its header is the extended one of SMPTE ST 2022-1.
bool is_fec(ByteView body) {
    return body.size() > FecHeader::kSize && whole_packets(body.size() - FecHeader::kSize) &&
           (read_u8(body, 4) & 0x80) != 0;
}

Payload rtp_payload(ByteView datagram, const RtpHeader& header, PayloadKind settled, PacketForm form) {
    const ByteView body =
        datagram.subspan(header.size, datagram.size() - header.size - header.padding);
    const bool whole = whole_packets(body.size());
    if (!keeps_form(body, form)) form = whole ? PacketForm::bare : other_form(body);
    if (form != PacketForm::bare) return {PayloadKind::rtp_transport_packets, body, header, {}, 0, form};
    // The payload type is a dynamic one with some senders; sync bytes tell as well. What is as long as
    // FEC is no transport packets by the chance of two bytes.
    const bool media_type = header.payload_type == kPayloadTypeMp2t;
    const bool fec = !media_type && is_fec(body);
    const bool plain = media_type && whole;
    if (plain || (starts_in_sync(body) && !fec)) return {PayloadKind::rtp_transport_packets, body, header};
    if (fec && settled != PayloadKind::rtp_transport_packets) return {PayloadKind::rtp_fec, {}, header, body};
    if (settled == PayloadKind::rtp_transport_packets && header.payload_type == kPayloadTypeMp2t)
        return {PayloadKind::rtp_transport_packets, body, header};
    return {};
}

}  // namespace

Payload classify(ByteView datagram, PayloadKind settled, PacketForm form) {
    if (settled == PayloadKind::transport_packets && keeps_form(datagram, form))
        return {PayloadKind::transport_packets, datagram, {}, {}, 0, form};
    // By chance a byte of the outer code may stand where a second packet would have its sync byte.
    if (settled == PayloadKind::other && !whole_packets(datagram.size()))
        if (const auto other = other_form(datagram); other != PacketForm::bare)
            return {PayloadKind::transport_packets, datagram, {}, {}, 0, other};
    if (starts_in_sync(datagram)) return {PayloadKind::transport_packets, datagram, {}};
    const bool bare = settled == PayloadKind::transport_packets && whole_packets(datagram.size());
    if (!bare)
        if (const auto header = parse_rtp(datagram)) {
            // What begins inside a packet may look like a header.
            const Payload found = rtp_payload(datagram, *header, settled, form);
            if (found.kind != PayloadKind::other || settled != PayloadKind::transport_packets) return found;
        }
    // A first packet without its sync byte, among others that have theirs.
    const bool second_in_sync = whole_packets(datagram.size()) && datagram.size() > kTsPacketSize &&
                                read_u8(datagram, kTsPacketSize) == kSyncByte;
    if (bare || second_in_sync || (settled == PayloadKind::transport_packets && !datagram.empty()))
        return {PayloadKind::transport_packets, datagram, {}};
    if (settled == PayloadKind::other && is_cut_between(datagram)) return {PayloadKind::transport_packets, datagram, {}};
    return {};
}

void strip(ByteView packets, PacketForm form, std::vector<std::byte>& out) {
    out.clear();
    for (; packets.size() >= size_of(form); packets = packets.subspan(size_of(form))) {
        const ByteView bare = packets.subspan(sync_of(form), kTsPacketSize);
        out.insert(out.end(), bare.begin(), bare.end());
    }
}

// Less can be told of what is there; the size tells more than it does of a whole datagram, which may be damaged.
Payload classify_cut(ByteView datagram, std::size_t wire_size, PayloadKind settled) {
    const auto begins_packets = [](ByteView bytes, std::size_t size) {
        return whole_packets(size) && (bytes.empty() || (read_u8(bytes, 0) == kSyncByte &&
               (bytes.size() <= kTsPacketSize || read_u8(bytes, kTsPacketSize) == kSyncByte)));
    };
    if (!datagram.empty() && begins_packets(datagram, wire_size))
        return {PayloadKind::transport_packets, datagram, {}, {}, wire_size};
    if (settled == PayloadKind::transport_packets) return {};
    const auto header = parse_rtp(datagram, false);
    if (!header || header->size > wire_size) return {};
    const ByteView body = datagram.subspan(header->size);
    const std::size_t size = wire_size - header->size;
    const bool media = header->payload_type == kPayloadTypeMp2t || settled == PayloadKind::rtp_transport_packets;
    if (!begins_packets(body, size) || (body.empty() && !media)) return {};
    return {PayloadKind::rtp_transport_packets, body, *header, {}, size};
}

}  // namespace mastline
