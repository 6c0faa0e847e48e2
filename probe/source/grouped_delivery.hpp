// SPDX-License-Identifier: Apache-2.0
// Passes datagrams on group by group. What is known of a group then stays near the processor while its
// datagrams are looked at; one by one in the order of the wire, hundreds of groups push each other out.
#pragma once

#include <cstdint>
#include <vector>

#include "mastline/source/packet_sink.hpp"

namespace mastline {

class GroupedDelivery final : public PacketSink {
public:
    // Bytes in `lasting` stay until deliver() has returned; a datagram elsewhere is passed on at once.
    explicit GroupedDelivery(ByteView lasting) : lasting_(lasting) {}

    void deliver_to(PacketSink& sink) { sink_ = &sink; }
    // All that waits: the groups in the order in which they came up, the datagrams of each in theirs.
    void deliver();
    std::size_t waiting() const { return held_.size(); }

    void on_datagram(const Datagram& datagram) override;
    void on_membership(const IpPacket& packet) override { sink_->on_membership(packet); }

private:
    struct Group {
        IpAddress address;
        std::uint32_t count = 0, from = 0;
    };
    std::uint32_t group_of(const IpAddress& address);
    void sort();

    ByteView lasting_;
    PacketSink* sink_ = nullptr;
    std::vector<Datagram> held_;
    std::vector<Group> groups_;
    std::vector<std::uint32_t> table_;     // by hash: number of the group, from 1
    std::vector<std::uint32_t> group_of_;  // of each datagram
    std::vector<std::uint32_t> order_;
};

}  // namespace mastline
