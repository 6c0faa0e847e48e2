// SPDX-License-Identifier: Apache-2.0
// Clocks of known rate, jitter and drift. ISO/IEC 13818-1, 2.4.2.2; TR 101 290 annex I.
#include <catch2/catch.hpp>

#include <cmath>
#include <functional>

#include "support/stream_reading.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

constexpr std::int64_t kPacketTicks = 10'152;  // 4 Mbit/s: 376 us per packet

// A PCR every 50 packets (18.8 ms) at a constant rate, each moved by move(n) ticks.
StreamBuilder clocked(int count, const std::function<std::int64_t(int)>& move, std::int64_t start = 27'000'000) {
    StreamBuilder s;
    const std::int64_t wrap = kPcrWrap.count();
    for (int n = 0; n < count; ++n) {
        const std::int64_t pcr = start + n * 50 * kPacketTicks + move(n);
        s.add(packet(0x101).pcr(static_cast<std::uint64_t>((pcr + wrap) % wrap)), 0).nulls(49);
    }
    return s;
}

}  // namespace

TEST_CASE("the transport rate follows from bytes between PCRs", "[unit]") {
    // 47 000 bytes (250 packets) over 2 700 000 ticks are 3.76 Mbit/s.
    StreamBuilder s;
    for (std::uint64_t n = 0; n < 4; ++n) s.add(packet(0x101).pcr(n * 2'700'000), 0).nulls(249);
    const auto o = observe_bytes(s.bytes());
    REQUIRE(o.pcrs.size() == 1);
    CHECK(o.pcrs[0].rate->mean == BitRate(3'760'000));
    CHECK(o.pcrs[0].max_interval == std::chrono::milliseconds(100));
    CHECK(o.pcrs[0].intervals_above_40_ms == 3);
    CHECK(indicator(o, "2.3a")->found.count == 0);  // 100 ms is the limit, not beyond it
}

TEST_CASE("a PCR wrap is an interval like any other", "[unit]") {
    const auto o = observe_bytes(clocked(40, [](int) { return 0; }, kPcrWrap.count() - 20 * 50 * kPacketTicks + 1).bytes());
    CHECK(o.pcrs[0].wraps == 1);
    CHECK(o.pcrs[0].discontinuities == 0);
    CHECK(o.pcrs[0].jitter.drift_free < std::chrono::nanoseconds(40));
}

TEST_CASE("jitter against position is found within a microsecond", "[outside]") {
    // Synthetic, known: a sine of 50 us (1350 ticks) on 400 PCRs; peak to peak 100 us.
    const auto move = [](int n) { return std::llround(1350 * std::sin(0.7 * n)); };
    const auto o = observe_bytes(clocked(400, move).bytes());
    REQUIRE(o.pcrs[0].jitter.judged);
    CHECK(std::abs(o.pcrs[0].jitter.overall.count() - 100'000) < 1'000);
}

TEST_CASE("PCRs that lie within 500 ns of the line on either side of it are accurate", "[outside]") {
    // ISO/IEC 13818-1, 2.4.2.1: +-500 ns are +-13.5 ticks of 27 MHz.
    const auto inaccurate = [](std::int64_t ticks) {
        const auto o = observe_bytes(clocked(400, [&](int n) { return n % 2 == 0 ? ticks : -ticks; }).bytes());
        const auto* accuracy = indicator(o, "2.4");
        CHECK(accuracy->judged);
        return accuracy->found.count;
    };
    CHECK(inaccurate(13) == 0);
    CHECK(inaccurate(14) > 0);
}

TEST_CASE("jitter and drift against arrival are told apart within a microsecond", "[outside]") {
    // Arrival is exact for the packets that carry a PCR: one call per PCR. The sender's clock runs
    // 30 ppm fast and jitters by a sine of 200 us: 400 us peak to peak without the drift.
    const auto move = [](int n) {
        return std::llround(5400 * std::sin(0.7 * n) + n * 50 * static_cast<double>(kPacketTicks) * 30e-6);
    };
    const Bytes bytes = clocked(500, move).bytes();
    StreamMonitor monitor;
    for (int n = 0; n < 500; ++n)
        monitor.packets(ByteView(bytes).subspan(static_cast<std::size_t>(n) * 50 * 188, 50 * 188),
                        std::chrono::seconds(1000) + Duration(n * 50 * kPacketTicks * 1000 / 27));
    const auto jitter = monitor.observe().pcrs.at(0).jitter;
    REQUIRE(jitter.judged);
    CHECK(std::abs(jitter.drift_free.count() - 400'000) < 1'000);
    CHECK(std::abs(jitter.drift_ppm - 30) < 1);
    // over 9.38 s the drift adds 281 us to the spread
    CHECK(jitter.overall > std::chrono::microseconds(600));
    CHECK(jitter.overall < std::chrono::microseconds(690));
}

TEST_CASE("the interval limit of 100 ms is kept to the tick", "[unit]") {
    for (const std::uint64_t ticks : {2'700'000UL, 2'700'001UL}) {
        StreamBuilder s;
        for (std::uint64_t n = 0; n < 12; ++n) s.add(packet(0x101).pcr(n * ticks), 0).nulls(9);
        const auto o = observe_stamped(s.bytes(), Duration(static_cast<std::int64_t>(ticks * 100 / 27)));
        CHECK(o.pcrs[0].discontinuities == (ticks > 2'700'000 ? 11 : 0));
    }
}

TEST_CASE("a stream of varying rate is not judged for accuracy, and says so", "[unit]") {
    StreamBuilder s;
    std::uint64_t pcr = 0;
    for (int n = 0; n < 60; ++n, pcr += 540'000) s.add(packet(0x101).pcr(pcr), 0).nulls(10 + n * 7 % 40);
    const auto o = observe_bytes(s.bytes());
    CHECK_FALSE(o.pcrs[0].jitter.judged);
    CHECK(o.pcrs[0].jitter.reason == "the transport rate is not constant between PCRs");
    CHECK_FALSE(indicator(o, "2.4")->judged);
}

TEST_CASE("a PCR that a PMT promises and that never comes is listed", "[unit]") {
    StreamBuilder s;
    for (int n = 0; n < 20; ++n)
        s.section(0, pat_section(1, {{1, 0x100}})).section(0x100, pmt_section(1, 0x101, {{2, 0x101, {}}})).nulls(5);
    const auto o = observe_stamped(s.bytes(), std::chrono::milliseconds(5));
    REQUIRE(o.pcrs.size() == 1);
    CHECK(o.pcrs[0].count == 0);
    CHECK(indicator(o, "2.3a")->found.count == 1);
}
