// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "tools/rehearse/ts/packet_clock.hpp"

using namespace mastline;

TEST_CASE("a packet at 8 Mbit/s lasts 188 us", "[unit]") {
    PacketClock clock(BitRate(8'000'000));
    clock.advance();
    CHECK(clock.now() == PcrTicks(5076));  // 188 us * 27 MHz
    CHECK(clock.packet_time() == PcrTicks(5076));
    CHECK(clock.at_byte(10) == PcrTicks(5076 + 270));
}

// 188 bytes at 7,654,321 bit/s are 5305.239... ticks. After n packets the time is
// n*188*8*27e6/rate, rounded down once, not n times. The product stays below 2^63 for n up to 227
// million.
TEST_CASE("ten million packets of an odd rate leave no rounding behind", "[unit]") {
    constexpr std::int64_t rate = 7'654'321, packets = 10'000'000;
    PacketClock clock{BitRate(rate)};
    for (std::int64_t i = 0; i < packets; ++i) clock.advance();
    CHECK(clock.now().count() == packets * 188 * 8 * 27'000'000 / rate);
    CHECK(clock.at_byte(10).count() == (packets * 188 + 10) * 8 * 27'000'000 / rate);
}

TEST_CASE("a clock goes on from where its rate changes", "[unit]") {
    PacketClock clock(BitRate(8'000'000), PcrTicks(1000));
    clock.advance();
    clock.set_rate(BitRate(4'000'000));
    CHECK(clock.now() == PcrTicks(6076));
    clock.advance();
    CHECK(clock.now() == PcrTicks(6076 + 2 * 5076));
}
