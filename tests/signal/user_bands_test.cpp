// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

namespace user_bands_test {

namespace {

using Lines = std::vector<std::string>;

// A multiswitch of `bands` user bands; each of `cards` has two tuners on one input.
std::string venue(int bands, int cards, const std::string& runs) {
    std::string list;
    for (int i = 0; i < bands; ++i) list += (i > 0 ? ", '" : "'") + std::to_string(1000 + 50 * i) + " MHz'";
    return "[[feed]]\nname = 'w'\n[[feed.lane]]\nband_low = '950 MHz'\nband_high = '2150 MHz'\nlevel = '-30 dBm'\n"
           "[[device]]\nname = 'ms'\nkind = 'multiswitch'\noutputs = 2\noutput_level = '-30 dBm'\nuser_bands = [" +
           list + "]\n[[device]]\nname = 'split'\nkind = 'splitter'\nways = 4\nloss = '7 dB'\n"
           "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 8\ntuners = 2\n[[card]]\nname = 'A'\nmodel = "
           "'rx'\ncount = " + std::to_string(cards) + "\n[[run]]\nfrom = 'w'\nto = 'ms'\n[[run]]\nfrom = 'ms.out1'\n"
           "to = 'split'\n" + runs;
}

std::string run(int n, const std::string& more = "") {
    return "[[run]]\nfrom = 'split.out" + std::to_string(n) + "'\nto = 'A-" + std::to_string(n) + "'\nloss = '0 dB'\n" +
           more;
}

}  // namespace

TEST_CASE("each card input gets a user band for each of its tuners, in order", "[unit]") {
    const auto room = signal_room(venue(4, 2, run(1) + run(2)));
    CHECK(room.lines().empty());
    CHECK(room.plan_lines().empty());
    REQUIRE(room.plan.user_bands.size() == 4);
    const auto& use = room.plan.user_bands;
    CHECK(use[0].input.device == "A-1");
    CHECK(use[1].input.device == "A-1");
    CHECK(use[2].input.device == "A-2");
    CHECK(use[3].slot == 4);
    CHECK(use[3].centre == frequency_of_megahertz(1150));
    CHECK(use[3].output == PortRef{"ms", "out1"});
}

TEST_CASE("fewer user bands than tuners are shared out, and said", "[unit]") {
    const auto room = signal_room(venue(3, 2, run(1) + run(2)));
    CHECK(room.plan_lines() ==
          Lines{"venue.toml:7:1: warning: user-band.idle-tuners: ms.out1: 4 tuners are behind it and the output has 3 user "
                "bands: so many carriers are received at once (1 user band); move a card input to another output, or say "
                "in user_bands of the runs which each may use"});
    const auto& use = room.plan.user_bands;
    REQUIRE(use.size() == 3);
    CHECK(std::ranges::count(use, PortRef{"A-1", "in1"}, &UserBandUse::input) == 2);
    CHECK(std::ranges::count(use, PortRef{"A-2", "in1"}, &UserBandUse::input) == 1);
}

TEST_CASE("an input for which no user band is left is an error", "[input]") {
    const auto room = signal_room(venue(1, 2, run(1) + run(2)));
    CHECK(room.plan_lines() ==
          Lines{"venue.toml:7:1: error: user-band.too-many: ms.out1: 4 user bands are needed and the output has 1 "
                "(3 user bands); move a card input to another output, or say in user_bands of the runs which each may use"});
}

TEST_CASE("user bands that the engineer gave are kept and dealt round", "[unit]") {
    const auto room = signal_room(venue(4, 2, run(1, "user_bands = [2, 3]\n") + run(2)));
    CHECK(room.plan_lines().empty());
    REQUIRE(room.plan.user_bands.size() == 4);
    CHECK(room.plan.user_bands[0].input.device == "A-2");
    CHECK(room.plan.user_bands[1].input.device == "A-1");
}

TEST_CASE("one user band for two inputs is an error, and so is one that does not exist", "[input]") {
    const auto room = signal_room(venue(4, 2, run(1, "user_bands = [1]\n") + run(2, "user_bands = [1, 9]\n")));
    CHECK(room.plan_lines() ==
          Lines{"venue.toml:38:1: error: user-band.no-such-slot: ms.out1: run split.out2>A-2.in1 asks for user band "
                "9; the output has 4",
                "venue.toml:38:1: error: user-band.twice: ms.out1: user band 1 is given to A-1.in1 and A-2.in1; each "
                "user band of an output serves one tuner"});
}

TEST_CASE("user bands too close to each other, or too many, are errors of the data", "[input]") {
    const std::string start = "[[device]]\nname = 'ms'\nkind = 'multiswitch'\noutputs = 1\ngain = '0 dB'\n";
    CHECK(signal_room(start + "user_bands = ['1000 MHz', '1030 MHz']\n").lines() ==
          Lines{"venue.toml:1:1: error: device.user-bands-too-close: device ms: user bands 1000 MHz and 1030 MHz are "
                "less than 46 MHz apart; correct a centre, or user_band_width"});
    std::string many;
    for (int i = 0; i < 33; ++i) many += "'" + std::to_string(1000 + 50 * i) + " MHz',";
    CHECK(signal_room(start + "user_bands = [" + many + "]\n").lines() ==
          Lines{"venue.toml:1:1: error: device.too-many-user-bands: device ms: 33 user bands on one output; EN 50607 "
                "knows 32 at most, EN 50494 8"});
}

}  // namespace user_bands_test
