// SPDX-License-Identifier: Apache-2.0
// Reads capture files: pcap (both byte orders, microseconds and nanoseconds) and pcapng (sections of
// either byte order, several interfaces, each with its own link layer and time resolution).
#pragma once

#include <cstdint>
#include <functional>
#include <set>
#include <string>
#include <vector>

#include "mastline/source/block_reader.hpp"
#include "mastline/source/frame_decoder.hpp"

namespace mastline {

struct CaptureSummary {
    std::uint64_t frames = 0;
    std::uint64_t dropped_by_capture = 0;  // frames the capturing machine says it lost (isb_ifdrop)
    std::set<LinkType> unknown_links;      // met, and passed over
    std::vector<std::string> wires;        // names of the interfaces it was made on, by number of the wire
    // Why reading stopped before the end, with the byte it stopped at; empty when it did not. All
    // that stood before it was delivered.
    std::string damage;
};

using FrameSink = std::function<void(const CapturedFrame&)>;

// Do these first bytes (four suffice) open a capture file?
bool is_capture(ByteView head);

// REQUIRES: is_capture(reader.ahead(4))
CaptureSummary read_capture(BlockReader& reader, const FrameSink& sink);

}  // namespace mastline
