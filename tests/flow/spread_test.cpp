// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/spread.hpp"

using namespace mastline;

TEST_CASE("a spread has exact extremes and mean, and quantiles within five percent", "[unit]") {
    Spread spread;
    for (int i = 1; i <= 1000; ++i) spread.add(std::chrono::microseconds(i));
    const auto seen = spread.observe();
    CHECK(seen.count == 1000);
    CHECK(seen.min == std::chrono::microseconds(1));
    CHECK(seen.max == std::chrono::microseconds(1000));
    CHECK(seen.mean == Duration(500'500));
    CHECK(static_cast<double>(seen.median.count()) == Approx(500'000).epsilon(0.05));
    CHECK(static_cast<double>(seen.p99.count()) == Approx(990'000).epsilon(0.05));
}

TEST_CASE("a spread of nothing, of zero and of two days stays in bounds", "[unit]") {
    Spread spread;
    CHECK(spread.observe() == SpreadObservation{});
    spread.add(Duration(0));
    spread.add(Duration(-5));
    spread.add(std::chrono::hours(48));
    CHECK(spread.observe().min == Duration(0));
    CHECK(spread.observe().max == std::chrono::hours(48));
    CHECK(spread.observe().p99 == Duration(0));
}
