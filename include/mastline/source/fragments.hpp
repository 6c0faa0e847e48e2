// SPDX-License-Identifier: Apache-2.0
// Puts fragmented IP packets together again (RFC 791 section 3.2, RFC 8200 section 4.5).
#pragma once

#include <array>
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

    // Packets given up: out of time, pushed out, overlapping or impossible. Fragments that came once more after their
    // packet was whole are none.
    std::uint64_t abandoned() const { return abandoned_; }
    // Packets that wait for more fragments.
    std::uint64_t waiting() const;

private:
    struct Piece {
        std::size_t from, to;  // bytes of the payload
    };
    struct Pending {
        IpPacket first;  // addresses, protocol, TTL and DSCP of the piece at offset 0
        std::uint32_t identification = 0;
        Duration since{};
        bool again = false;  // a packet of the same name was whole not long ago
        std::optional<std::size_t> total;
        std::vector<Piece> pieces;
        std::vector<std::byte> bytes;
    };
    using Place = std::list<Pending>::iterator;
    // What RFC 791 section 3.2 tells the fragments of a packet by, and the wire.
    struct Name {
        std::uint32_t identification = 0;
        std::uint8_t protocol = 0;
        IpAddress source, destination;
        WireNumber wire;
        bool operator==(const Name&) const = default;
    };
    static Name name_of(const IpPacket& first, std::uint32_t identification) {
        return {identification, first.protocol, first.source, first.destination, first.frame.wire};
    }

    void drop_stale(Duration now);
    Place find_or_start(const IpPacket& fragment);
    bool fits(const Pending& pending, const IpPacket& fragment) const;
    std::optional<IpPacket> finished(Place place);

    std::list<Pending> pending_;  // oldest first
    std::array<Name, 64> finished_;  // the last
    std::size_t next_finished_ = 0;
    std::vector<std::byte> whole_;
    std::uint64_t abandoned_ = 0;
};

}  // namespace mastline
