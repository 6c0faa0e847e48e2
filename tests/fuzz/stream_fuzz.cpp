// SPDX-License-Identifier: Apache-2.0
// Any bytes through a stream monitor and a still collector: no crash, and what is observed or collected does not
// depend on how the bytes are cut. The first byte chooses the cut.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "mastline/report/observation_json.hpp"
#include "mastline/stream/still_collector.hpp"
#include "mastline/stream/stream.hpp"

using namespace mastline;

namespace {

StreamObservation observed(ByteView bytes, std::size_t piece) {
    StreamMonitor monitor;
    for (std::size_t at = 0; at < bytes.size(); at += piece)
        monitor.packets(bytes.subspan(at, std::min(piece, bytes.size() - at)), std::nullopt);
    return monitor.observe();
}

StillMaterial collected(ByteView bytes, std::size_t piece) {
    StillCollector collector(ProgramNumber{1});
    for (std::size_t at = 0; at < bytes.size(); at += piece)
        collector.packets(bytes.subspan(at, std::min(piece, bytes.size() - at)), std::nullopt);
    return collector.material();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const ByteView bytes = std::as_bytes(std::span(data, size)).subspan(1);
    const StreamObservation whole = observed(bytes, bytes.size() + 1);
    if (whole != observed(bytes, data[0] + std::size_t{1})) std::abort();
    (void)observation_document(whole);
    if (collected(bytes, bytes.size() + 1) != collected(bytes, data[0] + std::size_t{1})) std::abort();
    StreamMonitor stamped;
    Duration now{};
    for (std::size_t at = 0; at < bytes.size(); at += 1316, now += std::chrono::milliseconds(data[0])) {
        stamped.packets(bytes.subspan(at, std::min<std::size_t>(1316, bytes.size() - at)), now);
        if (at % 5 == 4) stamped.lost(data[0] % 2 == 0 ? Loss::own : Loss::before_us);
    }
    (void)stamped.observe();
    return 0;
}
