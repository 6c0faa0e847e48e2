// SPDX-License-Identifier: Apache-2.0
#include "probe/source/pcapng_format.hpp"

using namespace mastline;

TEST_CASE("time units of any resolution become nanoseconds", "[unit]") {
    CHECK(to_duration(5, {false, 0}) == std::chrono::seconds(5));
    CHECK(to_duration(1'700'000'000'000'001, {false, 6}) == Duration(1'700'000'000'000'001'000));
    CHECK(to_duration(19, {false, 10}) == Duration(1));
    CHECK(to_duration(7, {false, 127}) == Duration(0));
    CHECK(to_duration((3U << 20) + (1U << 19), {true, 20}) == std::chrono::milliseconds(3500));
    // 2^-63 s: half a second is 2^62 units.
    CHECK(to_duration(std::uint64_t{1} << 62, {true, 63}) == std::chrono::milliseconds(500));
    CHECK(to_duration(9, {true, 64}) == Duration(0));
}
