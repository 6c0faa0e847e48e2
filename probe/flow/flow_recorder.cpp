// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/flow_recorder.hpp"

#include "mastline/net/udp_headers.hpp"

namespace mastline {

void FlowRecorder::add(const Datagram& d) {
    if (full_) return;
    constexpr std::size_t headers = 48;  // at most
    const std::size_t size = d.frame.bytes.empty() ? d.payload.size() + headers : d.frame.bytes.size();
    if (fault_ && !ring_.has_room(size)) {
        full_ = true;
        return;
    }
    if (d.frame.bytes.empty()) {
        const UdpHeaders built(d);
        ring_.push(d.arrival, kLinkRaw, built.bytes().size() + d.payload.size(), built.bytes(), d.payload);
        rebuilt_ = true;
    } else {
        ring_.push(d.arrival, d.frame);
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
