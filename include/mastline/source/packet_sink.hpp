// SPDX-License-Identifier: Apache-2.0
// Where every way of listening delivers: sockets, live captures and capture files alike.
#pragma once

#include "mastline/net/datagram.hpp"
#include "mastline/net/ip_packet.hpp"

namespace mastline {

class PacketSink {
public:
    virtual ~PacketSink() = default;
    virtual void on_datagram(const Datagram& datagram) = 0;
    // The listening machine dropped `count` datagrams of this flow before the next one.
    virtual void on_own_loss(const FlowAddress&, std::uint64_t) {}
    // It dropped some of flows that it cannot name.
    virtual void on_own_loss_somewhere() {}
    // IGMP and MLD messages; only captures see them.
    virtual void on_membership(const IpPacket&) {}
};

}  // namespace mastline
