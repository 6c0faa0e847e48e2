// SPDX-License-Identifier: Apache-2.0
// RFC 4445 section 3.1: DF = (max(VB) - min(VB)) / MR, with VB = 0 at the start of each second.
#include "mastline/flow/delivery_index.hpp"

using namespace mastline;
using namespace std::chrono_literals;

namespace {
// The delay factor of 1000-byte arrivals at these milliseconds, drained at 1,000,000 byte/s.
Duration delay_factor(std::initializer_list<int> milliseconds) {
    DeliveryIndex index(BitRate(8'000'000));
    index.start(0ms);
    for (const int ms : milliseconds) index.arrived(std::chrono::milliseconds(ms), 1000);
    index.arrived(1s, 1000);
    return index.observe().last_delay_factor;
}
}  // namespace

TEST_CASE("the delay factor of a steady stream is the time of one datagram", "[outside]") {
    // 3.75 Mbit/s in datagrams of 1316 bytes: one each 2.807 ms, DF 2.807 ms (worked by hand from
    // the formula; the figure is common practice).
    const auto step = Duration(2'807'467);
    DeliveryIndex index(BitRate(3'750'000));
    for (int i = 0; i < 400; ++i) index.arrived(step * i, 1316);
    CHECK(index.observe().intervals == 1);
    CHECK(index.observe().last_delay_factor.count() == Approx(2'807'467).margin(2000));
}

TEST_CASE("the delay factor follows the virtual buffer", "[outside]") {
    // Arrivals at 1, 2, 4, 4, 5 ms: VB before the first is -1000, before the third -2000, after the
    // fifth 0; the arrival that closes the second is not part of it.
    CHECK(delay_factor({1, 2, 4, 4, 5}) == 2ms);
    // At 1, 1, 1, 4, 5 ms: from -1000 before the first to 2000 after the third.
    CHECK(delay_factor({1, 1, 1, 4, 5}) == 3ms);
}

TEST_CASE("media packets lost in a second are its loss rate", "[outside]") {
    // One lost datagram of seven transport packets: RFC 4445 section 3.2 counts seven.
    DeliveryIndex index(BitRate(8'000'000));
    index.start(0ms);
    index.arrived(1ms, 1000);
    index.lost(7);
    index.arrived(1001ms, 1000);
    index.arrived(2002ms, 1000);
    CHECK(index.observe().max_media_loss_rate == 7);
    CHECK(index.observe().intervals == 2);
}

TEST_CASE("losses of a first second without a rate, and of a last one that is not over, count", "[unit]") {
    DeliveryIndex index;
    index.arrived(0ms, 1000);
    index.lost(14);
    for (int ms : {1000, 1500, 2000}) index.arrived(std::chrono::milliseconds(ms), 1000);
    CHECK(index.observe().max_media_loss_rate == 14);
    index.lost(21);
    CHECK(index.observe().max_media_loss_rate == 21);
}

TEST_CASE("without a plan the second before gives the media rate, and the first is not judged",
          "[unit]") {
    DeliveryIndex index;
    for (int i = 0; i <= 1000; ++i) index.arrived(std::chrono::milliseconds(i), 1000);
    CHECK(index.observe().intervals == 0);
    for (int i = 1001; i <= 2000; ++i) index.arrived(std::chrono::milliseconds(i), 1000);
    CHECK(index.observe().intervals == 1);
    CHECK(index.observe().media_rate == BitRate(8'000'000));
}
