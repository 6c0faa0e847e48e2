// SPDX-License-Identifier: Apache-2.0
// Any datagrams on a flow (RTP, transport packets, others): every one is counted as one kind, and
// packets lost never exceed what the sequence numbers span. The first byte of each piece says its
// length and sender.
#include <cstdint>
#include <cstdlib>

#include "mastline/flow/flow_monitor.hpp"

using namespace mastline;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    ByteView rest = std::as_bytes(std::span(data, size));
    FlowMonitor monitor({IpAddress::v4(0xEFC00A14), {5004}});
    Datagram d;
    d.arrival = std::chrono::seconds(1);
    std::uint64_t sent = 0;
    while (!rest.empty()) {
        const std::uint8_t control = read_u8(rest, 0);
        rest = rest.subspan(1);
        const std::size_t length = std::min<std::size_t>(rest.size(), std::size_t{control & 0x3FU} * 64);
        d.payload = rest.first(length);
        d.source = IpAddress::v4(0x0A000001U + (control >> 7));
        d.truncated = (control & 0x40) != 0;
        d.arrival += std::chrono::milliseconds(control);
        monitor.datagram(d);
        rest = rest.subspan(length);
        ++sent;
    }
    const auto seen = monitor.observe();
    if (seen.datagrams != sent) std::abort();
    if (seen.udp_datagrams + seen.rtp_datagrams + seen.other_datagrams > sent) std::abort();
    if (seen.rtp && seen.rtp->lost > (seen.rtp->packets + 1) * 65'536) std::abort();
    return 0;
}
