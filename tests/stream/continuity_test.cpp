// SPDX-License-Identifier: Apache-2.0
// ISO/IEC 13818-1, 2.4.3.3, sequence by sequence.
#include <catch2/catch.hpp>

#include "probe/stream/continuity.hpp"
#include "support/stream_reading.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

// A packet of PID 0x200 with that counter; the payload differs with `fill`.
PacketBuilder numbered(unsigned counter, int fill = 0) {
    return packet(0x200).counter(counter).payload(Bytes(184, static_cast<std::byte>(fill)));
}
PacketBuilder bare(unsigned counter) { return packet(0x200).counter(counter).adaptation_only(); }

PidObservation count(std::initializer_list<PacketBuilder> packets) {
    StreamBuilder s;
    s.nulls(2);
    for (const auto& p : packets) s.raw(p.build());
    const auto o = observe_bytes(s.nulls(5).bytes());
    REQUIRE(o.pids.size() == 2);
    return o.pids[0];
}

}  // namespace

TEST_CASE("the counter runs through 15 to 0", "[unit]") {
    CHECK(count({numbered(14), numbered(15), numbered(0), numbered(1)}).continuity_errors == 0);
}

TEST_CASE("one copy of a packet is legal, a second is not", "[unit]") {
    const auto one = count({numbered(3), numbered(4), numbered(4), numbered(5)});
    CHECK(one.continuity_errors == 0);
    CHECK(one.duplicates == 1);
    const auto two = count({numbered(3), numbered(4), numbered(4), numbered(4), numbered(5)});
    CHECK(two.continuity_errors == 1);
    CHECK(two.duplicates == 1);
    CHECK(two.packets_lost == 0);
}

TEST_CASE("a copy may differ in its PCR only", "[unit]") {
    const auto with_pcr = [](std::uint64_t pcr, int fill) {
        return packet(0x200).counter(4).pcr(pcr).payload(Bytes(176, static_cast<std::byte>(fill)));
    };
    CHECK(count({numbered(3), with_pcr(1000, 1), with_pcr(2000, 1), numbered(5)}).duplicates == 1);
    CHECK(count({numbered(3), with_pcr(1000, 1), with_pcr(1000, 2), numbered(5)}).continuity_errors == 1);
}

TEST_CASE("the same counter with other bytes is a loss of 15", "[unit]") {
    const auto p = count({numbered(3), numbered(4, 1), numbered(4, 2), numbered(5)});
    CHECK(p.continuity_errors == 1);
    CHECK(p.packets_lost == 15);
    CHECK(p.duplicates == 0);
}

TEST_CASE("a jump counts once, with what it skipped", "[unit]") {
    const auto p = count({numbered(3), numbered(4), numbered(6), numbered(7)});
    CHECK(p.continuity_errors == 1);
    CHECK(p.packets_lost == 1);
}

TEST_CASE("packets without payload leave the counter alone", "[unit]") {
    CHECK(count({numbered(3), bare(3), bare(3), numbered(4)}).continuity_errors == 0);
    CHECK(count({numbered(3), bare(4), numbered(5)}).continuity_errors == 1);
}

TEST_CASE("a continuity jump after a discontinuity_indicator is not a fault", "[unit]") {
    const auto p = count({numbered(3), packet(0x200).counter(9).discontinuity().payload(Bytes(182)), numbered(10)});
    CHECK(p.continuity_errors == 0);
    CHECK(p.signalled_discontinuities == 1);
}

TEST_CASE("a packet with the discontinuity_indicator may be sent twice", "[unit]") {
    const auto jump = [](int fill) {
        return packet(0x200).counter(9).discontinuity().payload(Bytes(182, static_cast<std::byte>(fill)));
    };
    const auto p = count({numbered(3), jump(1), jump(1), numbered(10)});
    CHECK(p.duplicates == 1);
    CHECK(p.continuity_errors == 0);
    CHECK(p.signalled_discontinuities == 1);
    const auto two = count({numbered(3), jump(1), jump(2), numbered(10)});  // each begins anew
    CHECK(two.duplicates == 0);
    CHECK(two.continuity_errors == 0);
    CHECK(two.signalled_discontinuities == 2);
}

TEST_CASE("a packet marked damaged takes its place but says nothing else", "[unit]") {
    const auto p = count({numbered(3), numbered(4).transport_error(), numbered(5)});
    CHECK(p.continuity_errors == 0);
    CHECK(p.packets == 2);
}

TEST_CASE("scrambled packets are counted also where the key changes", "[unit]") {
    const auto p = count({numbered(0), numbered(1).scrambling(2), numbered(2).scrambling(2),
                          numbered(3).scrambling(3), numbered(4), numbered(5)});
    CHECK(p.scrambled_packets == 3);
    CHECK(p.continuity_errors == 0);
}

TEST_CASE("after a loss of our own nothing is held against the stream", "[unit]") {
    StreamBuilder before, after;
    before.nulls(5).raw(numbered(3).build());
    after.raw(numbered(9).build()).raw(numbered(10).build());
    for (const auto whose : {Loss::own, Loss::before_us}) {
        StreamMonitor monitor;
        monitor.packets(before.bytes(), std::chrono::seconds(1));
        monitor.lost(whose);
        monitor.packets(after.bytes(), std::chrono::seconds(2));
        CHECK(monitor.observe().continuity_errors == (whose == Loss::own ? 0 : 1));
    }
}
