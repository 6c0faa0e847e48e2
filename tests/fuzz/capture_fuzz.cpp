// SPDX-License-Identifier: Apache-2.0
// Any bytes read as a capture (pcap, pcapng), any frame of any link layer: every frame is counted
// exactly once, what is delivered lies within what was read, and a file seen through windows gives
// what it gives when it is read.
#include <cstdint>
#include <cstdlib>
#include <utility>

#include "mastline/igmp/membership.hpp"
#include "mastline/source/capture_file.hpp"
#include "tests/support/memory_input.hpp"

using namespace mastline;

namespace {

class Sink final : public PacketSink {
public:
    void on_datagram(const Datagram& d) override {
        if (d.payload.size() > 16 * 1024 * 1024) std::abort();
        for (const std::byte b : d.payload) sum += std::to_integer<unsigned>(b);
    }
    void on_membership(const IpPacket& p) override { membership.packet(p); }
    MembershipMonitor membership;
    unsigned sum = 0;
};

void check(const DecodeCounts& c) {
    const auto told = c.datagrams + c.membership + c.fragments + c.other + c.malformed;
    // Whole packets out of fragments may turn out to be of any kind.
    if (told < c.frames || told > c.frames + c.fragments) std::abort();
}

// What a capture holds, and the sum of the bytes that it delivers.
std::pair<DecodeCounts, unsigned> counted(ByteInput& input) {
    Sink sink;
    FrameDecoder decoder(sink);
    BlockReader reader(input);
    read_capture(reader, [&](const CapturedFrame& f) { decoder.add(f); });
    (void)sink.membership.observe();
    return {decoder.counts(), sink.sum};
}

void check_capture(ByteView bytes) {
    test::MemoryInput read(bytes);
    test::WindowedInput seen(bytes);
    const auto told = counted(read);
    check(told.first);
    if (counted(seen) != told) std::abort();
}

void check_frame(ByteView bytes) {
    Sink sink;
    FrameDecoder decoder(sink);
    for (const std::uint32_t link : {0U, 1U, 101U, 108U, 113U, 228U, 229U, 276U, 999U})
        decoder.add({bytes, Duration{}, true, LinkType{link}});
    check(decoder.counts());
    (void)sink.membership.observe();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const ByteView bytes = std::as_bytes(std::span(data, size));
    if (is_capture(bytes)) check_capture(bytes);
    else check_frame(bytes);
    return 0;
}
