// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <random>

#include "probe/stream/packet_framer.hpp"
#include "support/damage.hpp"
#include "support/stream_reading.hpp"

using namespace mastline;
using namespace mastline::test;

TEST_CASE("sync is gained by five sync bytes, not by four", "[unit]") {
    // TR 101 290 no. 1.1
    StreamBuilder s;
    s.nulls(4);
    const auto four = observe_bytes(joined({bytes_of({1, 2, 3}), s.bytes()}));
    CHECK(four.packets == 0);
    CHECK_FALSE(four.in_sync);
    CHECK_FALSE(indicator(four, "1.4")->judged);
    s.nulls(1);
    const auto five = observe_bytes(joined({bytes_of({1, 2, 3}), s.bytes()}));
    CHECK(five.packets == 5);
    CHECK(five.bytes_skipped == 3);
    CHECK(five.in_sync);
}

TEST_CASE("a stream of fewer than five packets is taken as it lies", "[unit]") {
    CHECK(observe_bytes(StreamBuilder().nulls(3).bytes()).packets == 3);
}

TEST_CASE("one bad sync byte is outvoted, two in a row lose sync", "[unit]") {
    StreamBuilder one;
    one.nulls(20);
    break_sync_byte(one, 9);
    const auto outvoted = observe_bytes(one.bytes());
    CHECK(outvoted.packets == 20);
    CHECK(outvoted.sync_byte_errors == 1);
    CHECK(outvoted.sync_losses == 0);
    break_sync_byte(one, 10);
    const auto lost = observe_bytes(one.bytes());
    CHECK(lost.packets == 18);
    CHECK(lost.sync_byte_errors == 2);
    CHECK(lost.sync_losses == 1);
    CHECK(lost.bytes_skipped == 2 * 188);
}

TEST_CASE("how the bytes are cut changes nothing", "[property]") {
    StreamBuilder s;
    for (int i = 0; i < 60; ++i)
        s.section(0, pat_section(1, {{1, 0x100}})).nulls(3).section(0x100, pmt_section(1, 0x101, {{2, 0x101, {}}}));
    break_sync_byte(s, 40);
    break_sync_byte(s, 80);
    break_sync_byte(s, 81);
    const Bytes bytes = joined({bytes_of("noise"), s.bytes(), bytes_of("tail")});
    const auto whole = observe_bytes(bytes);
    CHECK(whole.sync_losses == 1);
    for (const std::size_t piece : {1UL, 7UL, 187UL, 188UL, 189UL, 940UL, 1316UL, 20'000UL})
        CHECK(observe_bytes(bytes, piece) == whole);
}
