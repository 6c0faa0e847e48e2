// SPDX-License-Identifier: Apache-2.0
// The pcapng file format (draft-ietf-opsawg-pcapng).
#pragma once

#include <cstdint>
#include <vector>

#include "mastline/source/capture_file.hpp"
#include "probe/source/ordered_bytes.hpp"

namespace mastline {

// REQUIRES: head.size() >= 4
bool is_pcapng(ByteView head);

CaptureSummary read_pcapng(BlockReader& reader, const FrameSink& sink);

// if_tsresol: the unit of time stamps, 10^-exponent or 2^-exponent seconds.
struct TimeResolution {
    bool binary = false;
    unsigned exponent = 6;
};

// Whole nanoseconds; finer resolutions are rounded down.
Duration to_duration(std::uint64_t units, TimeResolution resolution);

}  // namespace mastline
