// SPDX-License-Identifier: Apache-2.0
// The last packets that went by, in memory of a fixed size.
#pragma once

#include <cstddef>
#include <deque>
#include <memory>
#include <vector>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/net/wire_frame.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

// One packet, in the frame it came in or bare.
struct KeptPacket {
    Duration arrival{};              // since the Unix epoch
    std::size_t bytes_on_wire = 0;   // more than bytes.size() where it was cut
    std::vector<std::byte> bytes;
    LinkType link = kLinkRaw;        // what they begin with
    bool operator==(const KeptPacket&) const = default;
};

class PacketRing {
public:
    // What a packet costs beside its bytes.
    static constexpr std::size_t kOverhead = 48;

    explicit PacketRing(std::size_t bytes) : capacity_(bytes) {}

    // The packet is `head` and then `body`. The oldest make room; one that is larger than the ring
    // is not kept.
    void push(Duration arrival, LinkType link, std::size_t bytes_on_wire, ByteView head, ByteView body = {});
    void push(Duration arrival, const WireFrame& frame) { push(arrival, frame.link, frame.length, frame.bytes); }
    // Forgets the oldest until at most `bytes` are in use.
    void shrink(std::size_t bytes);
    // Room for a packet of `size` bytes without forgetting one.
    bool has_room(std::size_t size) const { return used_ + size + kOverhead <= capacity_; }

    std::size_t size() const { return entries_.size(); }
    std::size_t capacity() const { return capacity_; }
    std::vector<KeptPacket> packets() const;  // oldest first

private:
    struct Entry {
        Duration arrival;
        LinkType link;
        std::size_t bytes_on_wire, size, start;
    };
    void write(ByteView bytes);

    std::size_t capacity_, used_ = 0, next_ = 0;
    std::unique_ptr<std::byte[]> store_;  // from the first packet on
    std::deque<Entry> entries_;
};

}  // namespace mastline
