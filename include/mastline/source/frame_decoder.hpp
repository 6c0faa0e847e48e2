// SPDX-License-Identifier: Apache-2.0
// Captured frames in, datagrams and group membership messages out.
#pragma once

#include <algorithm>
#include <cstdint>

#include "mastline/net/wire_frame.hpp"
#include "mastline/source/fragments.hpp"
#include "mastline/source/link_layer.hpp"
#include "mastline/source/packet_sink.hpp"

namespace mastline {

struct CapturedFrame {
    ByteView bytes;
    Duration arrival{};
    bool stamped = true;  // arrival is known
    LinkType link;
    std::uint32_t length = 0;  // on the wire; 0: as many bytes as are here
    WireNumber wire{};         // that it was heard on

    WireFrame on_wire(const VlanTags& tags) const {
        return {bytes, link, std::max(length, static_cast<std::uint32_t>(bytes.size())), tags, wire};
    }
};

// What became of the frames; every frame is counted once among datagrams, membership, fragments,
// other and malformed.
struct DecodeCounts {
    std::uint64_t frames = 0;
    std::uint64_t datagrams = 0;  // in frames of their own
    std::uint64_t membership = 0;
    std::uint64_t fragments = 0;
    std::uint64_t other = 0;      // no IP, or another protocol
    std::uint64_t malformed = 0;  // headers cut short or contradicting
    std::uint64_t reassembled = 0;  // datagrams put together from fragments
    std::uint64_t abandoned = 0;    // fragmented packets that never became whole
    std::uint64_t truncated = 0;    // datagrams the capture kept only in part
    bool operator==(const DecodeCounts&) const = default;
};

class FrameDecoder {
public:
    explicit FrameDecoder(PacketSink& sink) : sink_(sink) {}
    void add(const CapturedFrame& frame);
    DecodeCounts counts() const;

private:
    void deliver(const IpPacket& packet, std::uint64_t& count);

    PacketSink& sink_;
    FragmentAssembler assembler_;
    DecodeCounts counts_;
};

}  // namespace mastline
