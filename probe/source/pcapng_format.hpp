// SPDX-License-Identifier: Apache-2.0
// The pcapng file format (draft-ietf-opsawg-pcapng).
#pragma once

#include <cstdint>
#include <optional>
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

// The time of a stamp since 1970 in whole nanoseconds; finer resolutions are rounded down. None for a
// stamp that, with if_tsoffset, lies before 1970 or two hundred years and more after it: such a stamp is
// damage, and differences of the others always fit.
std::optional<Duration> arrival_of(std::uint64_t units, TimeResolution resolution, std::int64_t offset_seconds);

}  // namespace mastline
