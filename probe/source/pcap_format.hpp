// SPDX-License-Identifier: Apache-2.0
// The pcap file format (draft-ietf-opsawg-pcap).
#pragma once

#include <optional>
#include <string_view>

#include "mastline/source/capture_file.hpp"
#include "probe/source/ordered_bytes.hpp"

namespace mastline {

struct PcapMagic {
    ByteOrder order = ByteOrder::big;
    bool nanoseconds = false;
    std::size_t record_header = 16;  // bytes in front of each frame
};

// REQUIRES: head.size() >= 4
std::optional<PcapMagic> pcap_magic(ByteView head);

CaptureSummary read_pcap(BlockReader& reader, const FrameSink& sink);

// Records longer than this are taken for damage; libpcap's own limit is 256 KiB.
inline constexpr std::size_t kLargestRecord = 16 * 1024 * 1024;

// `what`, and where the reader stands.
std::string damage_at(BlockReader& reader, std::string_view what);

}  // namespace mastline
