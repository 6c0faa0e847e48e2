// SPDX-License-Identifier: Apache-2.0
// Two lanes over 10 dB of cable, a splitter of 4 dB and two drops of 5 dB: every level by heart.
#pragma once

#include <string>

#include "support/signal_room.hpp"

namespace mastline::test {

//        feed    head.in   head.out   drop.out1/2   left.in/right.in
// lane 1  -30      -40       -20         -24            -29
// lane 2  -33      -43       -23         -27            -32
inline const std::string kSmallChain = R"(
[[feed]]
name = "dish"
[[feed.lane]]
band_low = "1000 MHz"
band_high = "2000 MHz"
level = "-30 dBm"
[[feed.lane]]
band_low = "1000 MHz"
band_high = "2000 MHz"
level = "-33 dBm"
[[device]]
name = "head"
kind = "amplifier"
lanes = 2
gain = "24 dB"
trim_low = "-10 dB"
trim = ["-4 dB"]
slope = "0 dB"
test_points = ["in", "out"]
[[device]]
name = "drop"
kind = "splitter"
lanes = 2
ways = 2
loss = "4 dB"
test_points = ["in", "out1", "out2"]
[[device]]
name = "left"
kind = "splitter"
lanes = 2
ways = 2
loss = "4 dB"
test_points = ["in"]
[[device]]
name = "right"
kind = "splitter"
lanes = 2
ways = 2
loss = "4 dB"
test_points = ["in"]
[[run]]
name = "R1"
from = "dish"
to = "head"
loss = "10 dB"
[[run]]
name = "R2"
from = "head"
to = "drop"
loss = "0 dB"
[[run]]
name = "R3"
from = "drop.out1"
to = "left"
loss = "5 dB"
[[run]]
name = "R4"
from = "drop.out2"
to = "right"
loss = "5 dB"
)";

inline SignalRoom small_chain() {
    return signal_room(kSmallChain);
}

}  // namespace mastline::test
