// SPDX-License-Identifier: Apache-2.0
// Any datagrams on flows of one group (RTP, transport packets, FEC, others): every one is counted as
// one kind, packets lost never exceed what the sequence numbers span, and what FEC recovers never what
// was lost. Two bytes before each piece say its length, sender and port.
#include <cstdint>
#include <cstdlib>

#include "mastline/flow/flow_set.hpp"

using namespace mastline;

namespace {

void check(const RepairObservation& r) {
    if (r.by_both + r.unrecoverable + r.untold != r.lost) std::abort();
    if (r.by_column > r.by_both || r.by_row > r.by_both) std::abort();
    if (r.contradicting > r.compared) std::abort();
}

void check(const FlowObservation& seen) {
    if (seen.udp_datagrams + seen.rtp_datagrams + seen.other_datagrams > seen.datagrams) std::abort();
    if (seen.rtp && seen.rtp->lost > (seen.rtp->packets + 1) * 65'536) std::abort();
    if (seen.rtp && seen.rtp->restored > seen.rtp->reordered) std::abort();
    if (seen.repair) check(*seen.repair);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    ByteView rest = std::as_bytes(std::span(data, size));
    FlowSet flows;
    Datagram d;
    d.destination = IpAddress::v4(0xEFC00A14);
    d.arrival = std::chrono::seconds(1);
    std::uint64_t sent = 0;
    while (rest.size() >= 2) {
        const std::uint8_t control = read_u8(rest, 0), second = read_u8(rest, 1);
        rest = rest.subspan(2);
        const std::size_t wanted = std::size_t{control & 0x3FU} * 64 + (second >> 2);
        const std::size_t length = std::min<std::size_t>(rest.size(), wanted);
        d.payload = rest.first(length);
        d.source = IpAddress::v4(0x0A000001U + (control >> 7));
        d.port = {static_cast<std::uint16_t>(5004 + 2 * (second & 3))};
        d.truncated = (control & 0x40) != 0;
        d.arrival += std::chrono::milliseconds(control);
        flows.datagram(d);
        rest = rest.subspan(length);
        ++sent;
    }
    std::uint64_t datagrams = 0;
    for (const auto& seen : flows.observe()) {
        datagrams += seen.datagrams;
        check(seen);
    }
    if (datagrams != sent) std::abort();
    return 0;
}
