// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/frame_decoder.hpp"

#include "mastline/source/ip_header.hpp"
#include "probe/source/plain_datagram.hpp"

namespace mastline {

namespace {
bool is_membership(const IpPacket& packet) {
    if (packet.protocol == kProtocolIgmp) return true;
    // RFC 2710, RFC 3810: queries, reports and done are ICMPv6 types 130, 131, 132 and 143.
    if (packet.protocol != kProtocolIcmpV6 || packet.payload.empty()) return false;
    const auto type = read_u8(packet.payload, 0);
    return (type >= 130 && type <= 132) || type == 143;
}
}  // namespace

void FrameDecoder::add(const CapturedFrame& frame) {
    ++counts_.frames;
    if (Datagram plain; read_plain_datagram(frame, plain)) {
        ++counts_.datagrams;
        return sink_.on_datagram(plain);
    }
    const auto framed = ip_in_frame(frame.link, frame.bytes);
    if (!framed) {
        ++counts_.other;
        return;
    }
    auto packet = parse_ip_packet(framed->packet);
    if (!packet) {
        ++counts_.malformed;
        return;
    }
    packet->arrival = frame.arrival;
    packet->stamped = frame.stamped;
    packet->frame = frame.on_wire(framed->tags);
    if (!packet->fragment) {
        deliver(*packet, counts_.datagrams);
        return;
    }
    ++counts_.fragments;
    auto whole = assembler_.add(*packet);
    if (!whole) return;
    if (pass_inner_headers(*whole)) ++counts_.malformed;
    else deliver(*whole, counts_.reassembled);
}

void FrameDecoder::deliver(const IpPacket& packet, std::uint64_t& count) {
    if (packet.protocol == kProtocolUdp) {
        const auto datagram = parse_udp(packet);
        if (!datagram) {
            ++counts_.malformed;
            return;
        }
        ++count;
        if (datagram->truncated) ++counts_.truncated;
        sink_.on_datagram(*datagram);
    } else if (is_membership(packet)) {
        ++counts_.membership;
        sink_.on_membership(packet);
    } else {
        ++counts_.other;
    }
}

DecodeCounts FrameDecoder::counts() const {
    DecodeCounts out = counts_;
    out.abandoned = assembler_.abandoned() + assembler_.waiting();
    return out;
}

}  // namespace mastline
