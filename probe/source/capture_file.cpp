// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/capture_file.hpp"

#include "probe/source/pcap_format.hpp"
#include "probe/source/pcapng_format.hpp"

namespace mastline {

bool is_capture(ByteView head) {
    return head.size() >= 4 && (pcap_magic(head) || is_pcapng(head));
}

CaptureSummary read_capture(BlockReader& reader, const FrameSink& sink) {
    CaptureSummary summary = is_pcapng(reader.ahead(4)) ? read_pcapng(reader, sink)
                                                        : read_pcap(reader, sink);
    if (const auto packed = reader.damage(); !packed.empty()) summary.damage = packed;
    return summary;
}

std::string damage_at(BlockReader& reader, std::string_view what) {
    return std::string(what) + " (byte " + std::to_string(reader.position()) + ")";
}

}  // namespace mastline
