// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

namespace wiring_test {

namespace {

using Lines = std::vector<std::string>;

std::string feed(const std::string& name, int lanes) {
    std::string out = "[[feed]]\nname = '" + name + "'\n";
    for (int i = 0; i < lanes; ++i)
        out += "[[feed.lane]]\nband_low = '950 MHz'\nband_high = '2150 MHz'\nlevel = '-" +
               std::to_string(20 + i) + " dBm'\n";
    return out;
}

std::string amplifier(const std::string& name, int lanes) {
    return "[[device]]\nname = '" + name + "'\nkind = 'amplifier'\nlanes = " + std::to_string(lanes) +
           "\ngain = '0 dB'\n";
}

std::string run(const std::string& from, const std::string& to, const std::string& more = "") {
    return "[[run]]\nfrom = '" + from + "'\nto = '" + to + "'\nloss = '0 dB'\n" + more;
}

}  // namespace

TEST_CASE("lanes go one to one, in order, through every device", "[unit]") {
    const auto room = signal_room(feed("w", 4) + amplifier("a", 4) + amplifier("b", 4) + run("w", "a") + run("a", "b"));
    CHECK(room.plan_lines().empty());
    for (int lane = 1; lane <= 4; ++lane)
        CHECK(room.at("b", "out", lane).lane == LaneRef{"w", LaneNumber{lane}});
}

TEST_CASE("crossed lanes are a finding where they cross, and levels follow the wiring", "[unit]") {
    const auto room = signal_room(feed("w", 4) + amplifier("a", 4) + amplifier("b", 4) +
                                  run("w", "a", "name = 'trunk'\nlanes = [1, 2, 3, 4]\nto_lanes = [1, 3, 2, 4]\n") + run("a", "b"));
    CHECK(room.plan_lines() ==
          Lines{"venue.toml:29:1: error: wiring.lane-crossed: a.in lane 2: carries w/3, brought by run "
                "trunk; put lane 3 back in its place",
                "venue.toml:29:1: error: wiring.lane-crossed: a.in lane 3: carries w/2, brought by run "
                "trunk; put lane 2 back in its place"});
    CHECK(room.at("b", "out", 2).low.nominal.dbm() == Approx(-22));
    CHECK(room.at("b", "out", 3).low.nominal.dbm() == Approx(-21));
}

TEST_CASE("a lane that does not arrive is a finding where it is lost", "[unit]") {
    const auto room = signal_room(feed("w", 3) + amplifier("a", 3) + amplifier("b", 3) +
                                  run("w", "a", "lanes = [1, 3]\n") + run("a", "b"));
    CHECK(room.plan_lines() == Lines{"venue.toml:25:1: error: wiring.lane-missing: a.in lane 2: no signal "
                                     "comes; connect it, or make the device as wide as its lanes"});
    CHECK(room.at("b", "out", 3).lane.lane.value == 3);
}

TEST_CASE("two feeds side by side are not crossed", "[unit]") {
    const auto room = signal_room(feed("w", 4) + feed("e", 2) + amplifier("a", 6) + run("w", "a") +
                                  run("e", "a", "lanes = [1, 2]\nto_lanes = [5, 6]\n"));
    CHECK(room.lines().empty());
    CHECK(room.plan_lines().empty());
    CHECK(room.at("a", "out", 6).lane == LaneRef{"e", LaneNumber{2}});
}

TEST_CASE("the second half of a feed on a device of its own is not crossed", "[unit]") {
    const auto room = signal_room(feed("w", 4) + amplifier("a", 2) + amplifier("b", 2) +
                                  run("w", "a", "lanes = [1, 2]\n") +
                                  run("w", "b", "lanes = [3, 4]\nto_lanes = [1, 2]\n"));
    CHECK(room.plan_lines().empty());
}

TEST_CASE("two lanes swapped on the second half of a device are both named", "[unit]") {
    const auto room = signal_room(feed("w", 2) + feed("e", 2) + amplifier("a", 4) + run("w", "a") +
                                  run("e", "a", "lanes = [1, 2]\nto_lanes = [4, 3]\n"));
    CHECK(room.plan_lines().size() == 2);
}

TEST_CASE("a combiner brings both its inputs to its output", "[unit]") {
    const auto room = signal_room(feed("w", 1) + feed("e", 1) +
                                  "[[device]]\nname = 'c'\nkind = 'combiner'\nways = 2\nloss = '4 dB'\n" +
                                  amplifier("a", 1) + run("w", "c.in1") + run("e", "c.in2") + run("c", "a"));
    CHECK(room.lines().empty());
    CHECK(room.at("a", "in", 1, "w").low.nominal.dbm() == Approx(-24));
    CHECK(room.at("a", "in", 1, "e").low.nominal.dbm() == Approx(-24));
}

TEST_CASE("each card input reaches the lane of its own cable", "[unit]") {
    const auto room = signal_room(
        feed("w", 2) + "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 8\ntuners = 4\ninputs = 2\n"
        "[[card]]\nname = 'A{}'\nmodel = 'rx'\n" + "[[card]]\nname = 'B'\nmodel = 'rx'\n" +
        run("w", "B.in1", "lanes = [1]\n") + run("w", "B.in2", "lanes = [2]\n"));
    CHECK(room.lines().empty());
    CHECK(room.plan_lines().empty());
    const auto& reach = room.plan.reach;
    REQUIRE(reach.size() == 4);
    CHECK(reach[2].lanes.at(0).lane == LaneRef{"w", LaneNumber{1}});
    CHECK(reach[3].lanes.at(0).lane == LaneRef{"w", LaneNumber{2}});
    CHECK(reach[0].lanes.empty());
}

TEST_CASE("a multiswitch has single-cable and wideband outputs at once", "[unit]") {
    const auto room = signal_room(
        feed("w", 4) + "[[device]]\nname = 'ms'\nkind = 'multiswitch'\nlanes = 4\noutputs = 2\n"
        "wideband_outputs = 1\ngain = '2 dB'\nuser_bands = ['1210 MHz']\n" + run("w", "ms"));
    CHECK(room.lines().empty());
    for (int lane = 1; lane <= 4; ++lane) {
        CHECK(room.at("ms", "wide1", lane).lane.lane.value == lane);
        CHECK(room.at("ms", "out2", 1, "w", lane).user_bands);
    }
}

}  // namespace wiring_test
