// SPDX-License-Identifier: Apache-2.0
// Any bytes read as a transport-stream file: delivered, skipped, leading and left-over bytes add up,
// and only whole packets are delivered.
#include <algorithm>
#include <cstdint>
#include <cstdlib>

#include "mastline/source/ts_file.hpp"

using namespace mastline;

namespace {

class MemoryInput final : public ByteInput {
public:
    explicit MemoryInput(ByteView bytes) : bytes_(bytes) {}
    std::size_t read(std::span<std::byte> into) override {
        const std::size_t n = std::min(into.size(), bytes_.size());
        std::copy_n(bytes_.begin(), n, into.begin());
        bytes_ = bytes_.subspan(n);
        return n;
    }

private:
    ByteView bytes_;
};

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    MemoryInput input(std::as_bytes(std::span(data, size)));
    BlockReader reader(input);
    std::uint64_t delivered = 0;
    const auto summary = read_ts_file(reader, [&](const TsRun& run) {
        if (run.packets.empty() || run.packets.size() % 188 != 0) std::abort();
        delivered += run.packets.size();
    });
    if (delivered != summary.packets * 188) std::abort();
    if (summary.leading_bytes + delivered > size) std::abort();
    return 0;
}
