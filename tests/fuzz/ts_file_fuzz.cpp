// SPDX-License-Identifier: Apache-2.0
// Any bytes read as a transport-stream file: packets and the bytes between them are all that is delivered,
// and with what stands in front they are no more than there was.
#include <cstdint>
#include <cstdlib>

#include "mastline/source/ts_file.hpp"
#include "tests/support/memory_input.hpp"

using namespace mastline;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    test::MemoryInput input(std::as_bytes(std::span(data, size)));
    BlockReader reader(input);
    std::uint64_t delivered = 0;
    const auto summary = read_ts_file(reader, [&](const TsRun& run) {
        if (run.packets.empty()) std::abort();
        delivered += run.packets.size();
    });
    if (delivered != summary.packets * 188 + summary.skipped_bytes) std::abort();
    if (summary.leading_bytes + delivered > size) std::abort();
    return 0;
}
