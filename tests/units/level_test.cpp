// SPDX-License-Identifier: Apache-2.0
#include "mastline/units/level.hpp"

#include <catch2/catch.hpp>

using namespace mastline;

namespace {
template <class A, class B>
concept can_add = requires(A a, B b) { a + b; };
static_assert(can_add<Level, Gain> && can_add<Gain, Gain> && !can_add<Level, Level>);
}  // namespace

TEST_CASE("level units convert across 75 ohm", "[outside]") {
    // Tutorial 808 "CATV dBm, dBmV, and dBuV Conversions": dBmV = dBm + 48.75, dBuV = dBmV + 60.
    CHECK(Level::dbm(0).dbmv() == Approx(48.7506).margin(1e-4));
    CHECK(Level::dbm(0).dbuv() == Approx(108.7506).margin(1e-4));
    CHECK(Level::dbmv(0).dbuv() == Approx(60));
    CHECK(Level::dbuv(80).dbm() == Approx(-28.75).margin(0.01));
}

TEST_CASE("a level without a unit, or with a gain's unit, is refused in words", "[input]") {
    CHECK_FALSE(parse_level("-20"));
    CHECK(parse_level("-20").error().message ==
          "\"-20\" has no unit; a level is written like \"-20 dBm\" (units: dBm, dBmV, dBuV, dB\u00b5V)");
    CHECK_FALSE(parse_level("-20 dB"));
    CHECK_FALSE(parse_level("loud"));
    CHECK_FALSE(parse_level("nan dBm"));
}

TEST_CASE("equal powers add to 3.01 dB more", "[outside]") {
    // 10 log10(2); "Total power = P1 + 10 log10(n)".
    CHECK(combined_power(Level::dbm(-30), Level::dbm(-30)).dbm() == Approx(-26.9897).margin(1e-4));
}
