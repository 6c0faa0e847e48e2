// SPDX-License-Identifier: Apache-2.0
#include "mastline/signal/lists.hpp"

#include <catch2/catch.hpp>

#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

namespace lists_test {

namespace {

const std::string kVenue = R"(
[[feed]]
name = "w"
[[feed.lane]]
band_low = "950 MHz"
band_high = "2150 MHz"
level = "-30 dBm"
[[feed.lane]]
band_low = "950 MHz"
band_high = "2150 MHz"
level = "-32 dBm"
[[model]]
name = "trunk"
kind = "amplifier"
lanes = 2
gain = "20 dB"
trim_low = "-10 dB"
slope_high = "9 dB"
test_points = ["out"]
[[device]]
name = "amp"
model = "trunk"
trim = ["-4 dB", "-2 dB"]
slope = "0 dB"
[[device]]
name = "place"
kind = "pad"
lanes = 2
pads = ["none", "3 dB"]
[[run]]
name = "T1"
from = "w"
to = "amp"
length = "30 m"
[[run]]
name = "T2"
from = "amp"
to = "place"
loss = "1 dB"
)";

}  // namespace

TEST_CASE("the wiring list has every conductor with levels at both ends", "[unit]") {
    const auto room = signal_room(kVenue);
    REQUIRE(room.lines().empty());
    const auto list = wiring_list(room.venue, room.plan);
    REQUIRE(list.size() == 4);
    CHECK(list[1].label == "T1 /2");
    CHECK(list[1].cable == "rg6");
    CHECK(list[1].from == PortRef{"w", "out"});
    CHECK(list[1].lanes == std::vector<LaneRef>{{"w", LaneNumber{2}}});
    CHECK(list[1].sent_low->nominal.dbm() == Approx(-32));
    CHECK(list[2].cable.empty());
    CHECK((list[2].sent_high->nominal - list[2].received_high->nominal).db() == Approx(1));
}

TEST_CASE("the settings list has every trim, slope and pad, and who set it", "[unit]") {
    const auto room = signal_room(kVenue);
    const auto list = settings_list(room.venue, room.plan);
    REQUIRE(list.size() == 5);
    CHECK(list[0].value->db() == -4);
    CHECK(list[0].given);
    CHECK(list[2].kind == SettingKind::slope);
    CHECK_FALSE(list[2].lane);
    CHECK_FALSE(list[3].value);
    CHECK(list[4].value->db() == 3);
}

TEST_CASE("the parts list counts models, pads and metres of cable", "[unit]") {
    const auto room = signal_room(kVenue);
    const auto list = parts_list(room.venue, room.plan);
    const auto find = [&](const std::string& kind) {
        for (const auto& line : list)
            if (line.kind == kind && line.length > Length{}) return line;
        for (const auto& line : list)
            if (line.kind == kind) return line;
        return PartLine{};
    };
    CHECK(find("amplifier").what == "trunk");
    CHECK(find("amplifier").count == 1);
    CHECK(find("pad").what == "3.0 dB");
    CHECK(find("pad").count == 1);
    CHECK(find("coax").length.metres() == Approx(60));
}

}  // namespace lists_test
