// SPDX-License-Identifier: Apache-2.0
// Bytes and files through a stream monitor.
#pragma once

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "mastline/source/ts_file.hpp"
#include "mastline/stream/stream.hpp"
#include "support/memory_input.hpp"
#include "support/ts_builder.hpp"

namespace mastline::test {

inline Bytes file_bytes(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    const std::string text((std::istreambuf_iterator<char>(in)), {});
    return bytes_of(text);
}

// Without arrival stamps, in pieces of that size.
inline StreamObservation observe_bytes(ByteView bytes, std::size_t piece = 1'000'000) {
    StreamMonitor monitor;
    for (std::size_t at = 0; at < bytes.size(); at += piece)
        monitor.packets(bytes.subspan(at, std::min(piece, bytes.size() - at)), std::nullopt);
    return monitor.observe();
}

// Seven packets at a time, stamped at a constant rate from `start` on.
inline StreamObservation observe_stamped(ByteView bytes, Duration per_packet,
                                         Duration start = std::chrono::seconds(1'000'000)) {
    StreamMonitor monitor;
    Duration now = start;
    for (std::size_t at = 0; at < bytes.size(); at += 7 * 188, now += 7 * per_packet)
        monitor.packets(bytes.subspan(at, std::min<std::size_t>(7 * 188, bytes.size() - at)), now);
    return monitor.observe();
}

// As the program reads it: packets of 188, 192 or 204 bytes.
inline StreamObservation observe_file(const std::filesystem::path& path) {
    const Bytes bytes = file_bytes(path);
    MemoryInput input(bytes);
    BlockReader reader(input);
    StreamMonitor monitor;
    read_ts_file(reader, [&](const TsRun& run) { monitor.packets(run.packets, run.arrival); });
    return monitor.observe();
}

}  // namespace mastline::test
