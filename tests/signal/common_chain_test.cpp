// SPDX-License-Identifier: Apache-2.0
// The chain that the trade reckons by heart (common practice, no source): a lane levelled to -20 dBm,
// a 6 dB tap, a four-way splitter at 7 dB, a multiswitch window of -50 to -30 dBm, an output tap of
// 9 dB before the card.
#include <catch2/catch.hpp>

#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

namespace common_chain_test {

namespace {

const std::string kFeed = R"(
[[feed]]
name = "west"
[[feed.lane]]
band_low = "950 MHz"
band_high = "2150 MHz"
level = "-20 dBm"
)";

const std::string kMultiswitch = R"(
[[model]]
name = "switch"
kind = "multiswitch"
window_low = "-50 dBm"
window_high = "-30 dBm"
outputs = 4
output_level = "-34 dBm"
user_bands = ["975 MHz", "1025 MHz"]
[[device]]
name = "ms"
model = "switch"
)";

const std::string kTapAndSplitter = R"(
[[device]]
name = "tap"
kind = "tap"
tap_loss = "6 dB"
[[device]]
name = "split"
kind = "splitter"
ways = 4
loss = "7 dB"
[[run]]
from = "west"
to = "tap"
loss = "0 dB"
[[run]]
from = "tap"
to = "split"
loss = "0 dB"
[[run]]
from = "split.out1"
to = "ms"
loss = "0 dB"
)";

const std::string kCard = R"(
[[device]]
name = "outlet"
kind = "outlet-tap"
tap_loss = "9 dB"
[[card_model]]
name = "rx"
kind = "tuner"
licences = 8
tuners = 2
window_low = "-60 dBm"
window_high = "-25 dBm"
[[card]]
name = "A1"
model = "rx"
[[run]]
from = "ms.out1"
to = "outlet"
loss = "0 dB"
[[run]]
from = "outlet"
to = "A1"
loss = "0 dB"
)";

void check_level(const PortLevel& level, double dbm) {
    CHECK(level.low.nominal.dbm() == Approx(dbm).margin(1e-9));
    CHECK(level.high.nominal.dbm() == Approx(dbm).margin(1e-9));
}

}  // namespace

TEST_CASE("common practice: a 6 dB tap and a four-way splitter give -26 and -33 dBm", "[outside]") {
    const auto room = signal_room(kFeed + kMultiswitch + kTapAndSplitter);
    CHECK(room.lines() == std::vector<std::string>{});
    check_level(room.at("split", "in"), -26);
    check_level(room.at("ms", "in"), -33);
    CHECK(room.at("ms", "in").margin->db() == Approx(3));
    CHECK(room.plan_lines() == std::vector<std::string>{});
}

TEST_CASE("common practice: without tap and splitter the multiswitch gets 10 dB too much", "[outside]") {
    const auto room =
        signal_room(kFeed + kMultiswitch + "[[run]]\nfrom = 'west'\nto = 'ms'\nloss = '0 dB'\n");
    CHECK(room.lines() == std::vector<std::string>{});
    check_level(room.at("ms", "in"), -20);
    CHECK(room.plan_lines() ==
          std::vector<std::string>{
              "venue.toml:17:1: error: level.above-window: ms.in lane 1 (west/1): worst case -20.0 "
              "dBm at 950 MHz is above the window -50.0 dBm to -30.0 dBm (10.0 dB); insert a pad of "
              "10 dB before ms"});
}

TEST_CASE("common practice: an output tap of 9 dB brings -34 to -43 dBm at the card", "[outside]") {
    const auto room = signal_room(kFeed + kMultiswitch + kTapAndSplitter + kCard);
    CHECK(room.lines() == std::vector<std::string>{});
    check_level(room.at("ms", "out1"), -34);
    check_level(room.at("A1", "in1"), -43);
    CHECK(room.plan_lines() == std::vector<std::string>{});
    REQUIRE(room.plan.reach.size() == 1);
    REQUIRE(room.plan.reach[0].lanes.size() == 1);
    const auto& lane = room.plan.reach[0].lanes[0];
    CHECK(room.plan.reach[0].input == PortRef{"A1", "in1"});
    CHECK(lane.in_window);
    CHECK(lane.margin.db() == Approx(17));
    CHECK(lane.parts == std::vector<std::string>{"lane:west/1", "run:west.out>tap.in", "device:tap",
                                                 "run:tap.tap>split.in", "device:split",
                                                 "run:split.out1>ms.in", "device:ms",
                                                 "run:ms.out1>outlet.in", "device:outlet",
                                                 "run:outlet.tap>A1.in1"});
}

TEST_CASE("common practice: 100 ft of ordinary coax takes about 7 dB", "[outside]") {
    const auto room = signal_room(kFeed + kMultiswitch +
                                  "[[run]]\nfrom = 'west'\nto = 'ms'\ncable = 'rg6'\nlength = '100 ft'\n");
    const auto& level = room.at("ms", "in");
    CHECK(level.low.nominal.dbm() == Approx(-20 - 6.4).margin(0.1));
    CHECK(level.high.nominal.dbm() == Approx(-20 - 9.7).margin(0.1));
    // Reckoned flat, as an estimate on paper does.
    const auto flat = signal_room(kFeed + kMultiswitch +
                                  "[[run]]\nfrom = 'west'\nto = 'ms'\nloss = '7 dB'\n");
    check_level(flat.at("ms", "in"), -27);
}

}  // namespace common_chain_test
