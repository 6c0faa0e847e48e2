// SPDX-License-Identifier: Apache-2.0
#include "probe/source/pcapng_format.hpp"

using namespace mastline;

TEST_CASE("time units of any resolution become nanoseconds", "[unit]") {
    CHECK(arrival_of(5, {false, 0}, 0) == std::chrono::seconds(5));
    CHECK(arrival_of(1'700'000'000'000'001, {false, 6}, 0) == Duration(1'700'000'000'000'001'000));
    CHECK(arrival_of(19, {false, 10}, 0) == Duration(1));
    CHECK(arrival_of(7, {false, 127}, 0) == Duration(0));
    CHECK(arrival_of((3U << 20) + (1U << 19), {true, 20}, 0) == std::chrono::milliseconds(3500));
    // 2^-63 s: half a second is 2^62 units.
    CHECK(arrival_of(std::uint64_t{1} << 62, {true, 63}, 0) == std::chrono::milliseconds(500));
    CHECK(arrival_of(9, {true, 64}, 0) == Duration(0));
}

TEST_CASE("a stamp that no capture can have is no time", "[unit]") {
    CHECK(arrival_of(1'700'000'000'000'000, {false, 6}, 3600) == std::chrono::seconds(1'700'003'600));
    CHECK(arrival_of(1'700'000'000'000'000, {false, 6}, -1'700'000'000) == Duration(0));
    CHECK(arrival_of(1'700'000'000'000'000, {false, 6}, -1'700'000'001) == std::nullopt);
    constexpr std::uint64_t kLatest = std::uint64_t{200} * 365 * 24 * 3600;
    CHECK(arrival_of(kLatest - 1, {false, 0}, 0) == std::chrono::seconds(kLatest - 1));
    CHECK(arrival_of(kLatest, {false, 0}, 0) == std::nullopt);
    CHECK(arrival_of(~std::uint64_t{0}, {false, 0}, 0) == std::nullopt);
    CHECK(arrival_of(5, {false, 0}, std::numeric_limits<std::int64_t>::max()) == std::nullopt);
    CHECK(arrival_of(5, {false, 0}, std::numeric_limits<std::int64_t>::min()) == std::nullopt);
    CHECK(arrival_of(~std::uint64_t{0}, {false, 9}, 0) == std::nullopt);
    CHECK(arrival_of(~std::uint64_t{0}, {true, 32}, 0) == Duration(4'294'967'295'999'999'999));
}
