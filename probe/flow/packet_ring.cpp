// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/packet_ring.hpp"

#include <algorithm>

namespace mastline {

void PacketRing::write(ByteView bytes) {
    const std::size_t first = std::min(bytes.size(), capacity_ - next_);
    std::ranges::copy(bytes.first(first), store_.get() + next_);
    std::ranges::copy(bytes.subspan(first), store_.get());
    next_ = (next_ + bytes.size()) % capacity_;
}

void PacketRing::push(Duration arrival, LinkType link, std::size_t bytes_on_wire, ByteView head, ByteView body) {
    const std::size_t size = head.size() + body.size();
    if (size + kOverhead > capacity_) return;
    // Untouched pages cost no memory: a flow that sends little takes little.
    if (!store_) store_ = std::make_unique_for_overwrite<std::byte[]>(capacity_);
    shrink(capacity_ - size - kOverhead);
    entries_.push_back({arrival, link, bytes_on_wire, size, next_});
    used_ += size + kOverhead;
    write(head);
    write(body);
}

void PacketRing::shrink(std::size_t bytes) {
    while (used_ > bytes) {
        used_ -= entries_.front().size + kOverhead;
        entries_.pop_front();
    }
}

std::vector<KeptPacket> PacketRing::packets() const {
    std::vector<KeptPacket> out;
    out.reserve(entries_.size());
    for (const auto& e : entries_) {
        out.push_back({e.arrival, e.bytes_on_wire, {}, e.link});
        auto& bytes = out.back().bytes;
        const std::size_t first = std::min(e.size, capacity_ - e.start);
        bytes.reserve(e.size);
        bytes.insert(bytes.end(), store_.get() + e.start, store_.get() + e.start + first);
        bytes.insert(bytes.end(), store_.get(), store_.get() + (e.size - first));
    }
    return out;
}

}  // namespace mastline
