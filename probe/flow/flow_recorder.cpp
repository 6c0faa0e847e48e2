// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/flow_recorder.hpp"

#include "mastline/net/udp_headers.hpp"

namespace mastline {

namespace {

// As the IP header tells it; segmentation offload leaves 0.
std::size_t told_length(ByteView packet) {
    const bool v4 = read_u8(packet, 0) >> 4 == 4;
    const std::size_t told = v4 ? read_u16(packet, 2) : read_u16(packet, 4) + std::size_t{40};
    return std::max(told, packet.size());
}

}  // namespace

void FlowRecorder::add(const Datagram& d) {
    if (full_) return;
    constexpr std::size_t headers = 48;  // at most
    const std::size_t size = d.packet.empty() ? d.payload.size() + headers : d.packet.size();
    if (fault_ && !ring_.has_room(size)) {
        full_ = true;
        return;
    }
    if (d.packet.empty()) {
        const UdpHeaders built(d);
        ring_.push(d.arrival, built.bytes().size() + d.payload.size(), built.bytes(), d.payload);
        rebuilt_ = true;
    } else {
        ring_.push(d.arrival, told_length(d.packet), d.packet, {});
    }
    if (fault_) ++behind_fault_;
}

void FlowRecorder::met(const FlowFaults& faults) {
    if (fault_) return;
    fault_ = faults.news_since(before_);
    before_ = faults;
    if (fault_) ring_.shrink(ring_.capacity() / 2);
}

Recording FlowRecorder::take() const {
    Recording out{ring_.packets(), std::nullopt, fault_, rebuilt_};
    if (fault_ && out.packets.size() > behind_fault_)
        out.fault_packet = out.packets.size() - 1 - behind_fault_;
    return out;
}

}  // namespace mastline
