// SPDX-License-Identifier: Apache-2.0
// Reads transport-stream files: packets of 188 bytes, of 192 (a 4-byte arrival stamp before each) or
// of 204 (16 bytes of parity behind each), with whatever stands before the first packet passed over.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>

#include "mastline/source/block_reader.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

struct TsFileSummary {
    std::size_t packet_size = 0;  // 188, 192 or 204; 0 when no transport stream was found
    std::uint64_t packets = 0;
    std::uint64_t leading_bytes = 0;  // before the first packet
    std::uint64_t skipped_bytes = 0;  // later, between packets, where alignment was lost
    std::string damage;               // why the end is not a packet's end; empty when it is
};

// One or more whole packets, 188 bytes each, or the bytes between packets where alignment was lost.
// `arrival` counts from the first stamped packet and is there for 192-byte packets only, where their
// stamps run like a clock. A packet with a damaged sync byte is delivered like any other.
struct TsRun {
    ByteView packets;
    std::optional<Duration> arrival;
};
using TsRunSink = std::function<void(const TsRun&)>;

TsFileSummary read_ts_file(BlockReader& reader, const TsRunSink& sink);

// Where packets start and how far apart: five sync bytes in a row (TR 101 290 1.1), or as many as
// are left, but at least two unless one packet is all there is. None when there is no such place.
struct TsAlignment {
    std::size_t offset = 0;
    std::size_t stride = 0;
};
std::optional<TsAlignment> find_alignment(ByteView bytes);

}  // namespace mastline
