// SPDX-License-Identifier: Apache-2.0
// What one look at all channels of a running watch saw.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "mastline/units/bit_rate.hpp"
#include "mastline/verdict/judge.hpp"

namespace mastline {

// Since the start of the watch; never fall.
struct FlowCounts {
    std::uint64_t datagrams = 0;
    std::uint64_t lost = 0;               // RTP: expected less received
    std::uint64_t continuity_errors = 0;
    std::uint64_t transport_bytes = 0;
    bool operator==(const FlowCounts&) const = default;
};

struct ChannelLook {
    Verdict verdict;      // of the rolling window
    Duration counts_from{};       // the times in its evidence count from here (Unix epoch)
    std::optional<BitRate> rate;  // of about the last second
    FlowCounts counts;
};

struct LineupLook {
    Duration at{};                      // Unix epoch
    std::vector<ChannelLook> channels;  // in the order of the lineup
    Check querier;                      // "network.querier"
    std::vector<Check> network;         // "network.flood"
    std::uint64_t own_drops = 0;        // datagrams that this machine dropped since the start
};

}  // namespace mastline
