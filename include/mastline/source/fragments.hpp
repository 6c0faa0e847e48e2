// SPDX-License-Identifier: Apache-2.0
// Puts fragmented IP packets together again (RFC 791 section 3.2, RFC 8200 section 4.5).
#pragma once

#include <cstdint>
#include <list>
#include <optional>
#include <vector>

#include "mastline/net/ip_packet.hpp"

namespace mastline {

// Bounded: at most kMostPending packets wait at once, each for kPatience of the capture's own time.
class FragmentAssembler {
public:
    static constexpr std::size_t kMostPending = 256;
    static constexpr Duration kPatience = std::chrono::seconds(30);

    // REQUIRES: fragment.fragment is set. The whole packet when this was the last missing piece;
    // its payload is valid until the next call.
    std::optional<IpPacket> add(const IpPacket& fragment);

    // Packets given up: out of time, pushed out, overlapping or impossible.
    std::uint64_t abandoned() const { return abandoned_; }

private:
    struct Piece {
        std::size_t from, to;  // bytes of the payload
    };
    struct Pending {
        IpPacket first;  // addresses, protocol, TTL and DSCP of the piece at offset 0
        std::uint32_t identification = 0;
        Duration since{};
        std::optional<std::size_t> total;
        std::vector<Piece> pieces;
        std::vector<std::byte> bytes;
    };
    using Place = std::list<Pending>::iterator;

    void drop_stale(Duration now);
    Place find_or_start(const IpPacket& fragment);
    bool fits(const Pending& pending, const IpPacket& fragment) const;
    std::optional<IpPacket> finished(Place place);

    std::list<Pending> pending_;  // oldest first
    std::vector<std::byte> whole_;
    std::uint64_t abandoned_ = 0;
};

}  // namespace mastline
