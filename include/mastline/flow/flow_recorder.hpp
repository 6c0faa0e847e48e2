// SPDX-License-Identifier: Apache-2.0
// Keeps the packets of one flow around its first fault: half of its memory holds what came before,
// the other half what came after. Without a fault it holds the last that came.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "mastline/flow/packet_ring.hpp"
#include "mastline/net/datagram.hpp"

namespace mastline {

// Faults that show at one packet.
enum class FlowFault : std::uint8_t {
    loss, order, repeats, source, steady, sync, pat, pmt, transport_error, continuity, crc,
    pcr_interval, pcr_continuity,
};
inline constexpr std::size_t kFlowFaults = 13;

// The check that the fault fails.
constexpr std::string_view check_of(FlowFault fault) {
    constexpr std::array<std::string_view, kFlowFaults> ids{
        "flow.loss", "flow.order", "flow.repeats", "flow.source", "flow.steady", "stream.sync",
        "stream.pat", "stream.pmt", "stream.transport-error", "stream.continuity", "stream.crc",
        "stream.pcr-interval", "stream.pcr-continuity"};
    return ids[static_cast<std::size_t>(fault)];
}

// How often each was met so far; a count never falls.
struct FlowFaults {
    std::array<std::uint64_t, kFlowFaults> counts{};
    std::uint64_t& operator[](FlowFault f) { return counts[static_cast<std::size_t>(f)]; }
    std::uint64_t operator[](FlowFault f) const { return counts[static_cast<std::size_t>(f)]; }
    // The first in the order of FlowFault that is met more often than in `before`.
    std::optional<FlowFault> news_since(const FlowFaults& before) const {
        for (std::size_t i = 0; i < kFlowFaults; ++i)
            if (counts[i] != before.counts[i]) return static_cast<FlowFault>(i);
        return std::nullopt;
    }
    bool operator==(const FlowFaults&) const = default;
};

struct Recording {
    std::vector<KeptPacket> packets;           // oldest first
    std::optional<std::size_t> fault_packet;   // index of the packet that showed the first fault
    std::optional<FlowFault> fault;
    bool rebuilt = false;                      // headers were put together again, not captured
    bool operator==(const Recording&) const = default;
};

class FlowRecorder {
public:
    explicit FlowRecorder(std::size_t bytes) : ring_(bytes) {}

    void add(const Datagram& datagram);
    // After every add(): what has been met up to and including it.
    void met(const FlowFaults& faults);
    // It has all that it will keep.
    bool full() const { return full_; }

    Recording take() const;

private:
    PacketRing ring_;
    FlowFaults before_;
    std::optional<FlowFault> fault_;
    std::size_t behind_fault_ = 0;  // packets kept since
    bool rebuilt_ = false, full_ = false;
};

}  // namespace mastline
