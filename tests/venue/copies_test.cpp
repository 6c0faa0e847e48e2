// SPDX-License-Identifier: Apache-2.0
#include "planner/venue/copies.hpp"

#include <catch2/catch.hpp>

#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

TEST_CASE("braces become the number of the copy", "[unit]") {
    CHECK(copy_text("split-1.out{}", 3) == "split-1.out3");
    CHECK(copy_text("ms-{+4}.in", 1) == "ms-5.in");
    CHECK(copy_text("{}-{}", 2) == "2-2");
    CHECK(copy_text("plain", 2) == "plain");
    CHECK(copy_text("{x} {", 2) == "{x} {");
}

TEST_CASE("copies without braces are numbered behind their name", "[unit]") {
    CHECK(copy_name("ms", 2, 4) == "ms-2");
    CHECK(copy_name("ms", 1, 1) == "ms");
    CHECK(copy_name("m{}s", 2, 4) == "m2s");
}

TEST_CASE("four multiswitches behind a splitter are written once", "[unit]") {
    const auto room = signal_room(R"(
[[feed]]
name = "west"
[[feed.lane]]
band_low = "950 MHz"
band_high = "2150 MHz"
level = "-20 dBm"
[[device]]
name = "split"
kind = "splitter"
ways = 4
loss = "7 dB"
[[device]]
name = "ms"
count = 4
kind = "multiswitch"
outputs = 8
gain = "0 dB"
user_bands = ["1210 MHz"]
[[run]]
from = "west"
to = "split"
loss = "0 dB"
[[run]]
from = "split.out{}"
to = "ms-{}"
count = 4
loss = "1 dB"
)");
    CHECK(room.lines().empty());
    CHECK(room.venue.devices.size() == 5);
    for (const auto* name : {"ms-1", "ms-2", "ms-3", "ms-4"}) {
        INFO(name);
        CHECK(room.at(name, "in").low.nominal.dbm() == Approx(-28));
        CHECK(room.at(name, "out8").low.nominal.dbm() == Approx(-28));
    }
}
