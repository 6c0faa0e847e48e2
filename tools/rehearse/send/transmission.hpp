// SPDX-License-Identifier: Apache-2.0
// One sender's datagrams on one flow: packets of a source, packed as planned, with the asked-for
// faults.
#pragma once

#include <array>
#include <memory>
#include <vector>

#include "tools/rehearse/fault/packet_faults.hpp"
#include "tools/rehearse/send/outlet.hpp"
#include "tools/rehearse/stream/packet_source.hpp"

namespace mastline {

struct TransmissionCounts {
    std::int64_t datagrams = 0;  // sent, duplicates included
    std::int64_t withheld = 0;   // not sent, as asked for
};

class Transmission {
public:
    // `flow` says how packets are packed; `faults` are those of this flow and sender.
    Transmission(Route route, const Expectation& flow, std::unique_ptr<PacketSource> source,
                 const std::vector<Fault>& faults, PcrTicks end);

    Route route() const { return route_; }
    // When the next datagram leaves; PcrTicks::max() after the end.
    PcrTicks due() const;
    void step(Outlet& outlet);
    // Makes and drops what would have left before.
    void skip_to(PcrTicks moment);
    const TransmissionCounts& counts() const { return counts_; }

private:
    bool withhold(PcrTicks now);
    bool every_nth(FaultKind kind, PcrTicks now) const;
    void write_rtp_header(ByteSpan datagram, PcrTicks now);
    void send(Outlet& outlet, ByteView datagram);

    Route route_;
    std::unique_ptr<PacketSource> source_;
    std::vector<Fault> faults_;
    PacketFaults packet_faults_;
    PcrTicks end_;
    std::size_t header_size_;
    std::size_t size_;
    std::uint32_t ssrc_;
    std::int64_t index_ = 0;  // of the datagram, from 1
    std::uint32_t random_;    // state of the draw for loss
    bool holding_ = false;    // held_ waits for its follower
    std::array<std::byte, kMostDatagram> held_{};
    TransmissionCounts counts_;
};

}  // namespace mastline
