// SPDX-License-Identifier: Apache-2.0
// Mistakes in the RF room of a venue file and the exact words for each.
#include <algorithm>

#include <catch2/catch.hpp>

#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

namespace signal_input_test {

namespace {

using Lines = std::vector<std::string>;

const std::string kFeed = R"([[feed]]
name = "west"
[[feed.lane]]
band_low = "950 MHz"
band_high = "2150 MHz"
level = "-20 dBm"
[[feed.lane]]
band_low = "950 MHz"
band_high = "2150 MHz"
level = "-20 dBm"
)";  // ten lines

const std::string kSplitter = R"([[device]]
name = "split"
kind = "splitter"
lanes = 2
ways = 4
loss = "7 dB"
)";  // lines 11 to 16

const std::string kRun = R"([[run]]
from = "west"
to = "split"
)";  // lines 17 to 19

}  // namespace

TEST_CASE("a mistyped device kind names the right one", "[input]") {
    CHECK(signal_room("[[device]]\nname = 'a'\nkind = 'spliter'\nloss = '4 dB'\n").lines() ==
          Lines{"venue.toml:3:8: error: file.unknown-word: unknown device kind 'spliter'; did you "
                "mean 'splitter'?"});
}

TEST_CASE("a run to a port that does not exist names the nearest", "[input]") {
    CHECK(signal_room(kFeed + kSplitter + "[[run]]\nfrom = 'west'\nto = 'split.inn'\n").lines() ==
          Lines{"venue.toml:19:6: error: run.unknown-port: device 'split' has no port 'inn'; did you "
                "mean 'in'?"});
    CHECK(signal_room(kFeed + kSplitter + "[[run]]\nfrom = 'west'\nto = 'splt'\n").lines() ==
          Lines{"venue.toml:19:6: error: run.unknown-device: no feed, device or card is named "
                "'splt'; did you mean 'split'?"});
}

TEST_CASE("a run that does not say which of several outputs is told to", "[input]") {
    CHECK(signal_room(kFeed + kSplitter + kRun + "[[device]]\nname = 'p'\nkind = 'pad'\n[[run]]\nfrom "
                      "= 'split'\nto = 'p'\n")
              .lines() ==
          Lines{"venue.toml:24:8: error: run.no-port: device 'split' has 4 outputs; name one: "
                "split.out1"});
}

TEST_CASE("two runs into one input are an error at the second", "[input]") {
    CHECK(signal_room(kFeed + kSplitter + kRun +
                      "[[device]]\nname = 'p'\nkind = 'pad'\nlanes = 2\n"
                      "[[run]]\nfrom = 'split.out1'\nto = 'p'\n"
                      "[[run]]\nfrom = 'split.out2'\nto = 'p'\n")
              .lines() ==
          Lines{"venue.toml:29:6: error: run.two-into-one-input: a second run ends at p.in; the first "
                "is at venue.toml:24:1; use a combiner"});
}

TEST_CASE("two runs from one output are an error at the second", "[input]") {
    CHECK(signal_room(kFeed + kSplitter + kRun + "[[device]]\nname = 'p'\nkind = 'pad'\n[[run]]\nfrom "
                      "= 'west'\nto = 'p'\n")
              .lines() ==
          Lines{"venue.toml:24:8: error: run.two-from-one-output: a second run begins at west.out; "
                "the first is at venue.toml:17:1; use a splitter"});
}

TEST_CASE("a loop in the chain is an error that names the way round", "[input]") {
    CHECK(signal_room("[[device]]\nname = 'a'\nkind = 'pad'\n[[device]]\nname = 'b'\nkind = 'pad'\n"
                      "[[run]]\nfrom = 'a'\nto = 'b'\n[[run]]\nfrom = 'b'\nto = 'a'\n")
              .lines() == Lines{"venue.toml:7:1: error: run.circle: the chain runs in a circle: a to "
                                "b to a; a signal never comes back to where it was; correct one of "
                                "these runs"});
}

TEST_CASE("a negative length is an error", "[input]") {
    CHECK(signal_room(kFeed + kSplitter + kRun + "length = '-5 m'\n").lines() ==
          Lines{"venue.toml:20:10: error: file.out-of-range: 'length' is -5 m; it must be at least 0 "
                "m"});
}

TEST_CASE("a level in the wrong unit is an error that shows the right ones", "[input]") {
    CHECK(signal_room("[[feed]]\nname = 'w'\n[[feed.lane]]\nband_low = '950 MHz'\nband_high = '2150 "
                      "MHz'\nlevel = '-20 dB'\n")
              .lines() == Lines{"venue.toml:6:9: error: file.bad-quantity: 'level': \"-20 dB\" has "
                                "the unit \"dB\"; a level is written like \"-20 dBm\" (units: dBm, "
                                "dBmV, dBuV, dB\u00b5V)"});
}

TEST_CASE("an unknown model, cable, feed or lane names what is known", "[input]") {
    CHECK(signal_room("[[model]]\nname = 'four-way'\nkind = 'splitter'\nways = 4\nloss = '7 dB'\n"
                      "[[device]]\nname = 'a'\nmodel = 'four-wy'\n")
              .lines() == Lines{"venue.toml:6:1: error: device.unknown-model: device a: unknown "
                                "model 'four-wy'; did you mean 'four-way'?"});
    CHECK(signal_room(kFeed + kSplitter + kRun + "cable = 'rg-6'\n").lines() ==
          Lines{"venue.toml:17:1: error: run.unknown-cable: unknown cable 'rg-6'; did you mean "
                "'rg6'?"});
    CHECK(signal_room(kFeed + "[[carrier]]\nname = 'c'\nfeed = 'wst'\nfrequency = '1 GHz'\nsystem = "
                      "'dvb-s'\n")
              .lines() == Lines{"venue.toml:11:1: error: carrier.unknown-feed: carrier c: unknown "
                                "feed 'wst'; did you mean 'west'?"});
    CHECK(signal_room(kFeed + "[[carrier]]\nname = 'c'\nfeed = 'west'\nlane = 3\nfrequency = '1 "
                      "GHz'\nsystem = 'dvb-s'\n")
              .lines() == Lines{"venue.toml:11:1: error: carrier.unknown-lane: carrier c: feed west "
                                "has no lane 3; it has lanes 1 to 2"});
}

TEST_CASE("a carrier outside its lane's band is an error", "[input]") {
    CHECK(signal_room(kFeed + "[[carrier]]\nname = 'c'\nfeed = 'west'\nfrequency = '2200 MHz'\nsystem "
                      "= 'dvb-s'\n")
              .lines() == Lines{"venue.toml:11:1: error: carrier.outside-lane: carrier c: 2200 MHz "
                                "lies outside lane 1 of feed west; the lane carries 950 MHz to 2150 "
                                "MHz"});
}

TEST_CASE("a passive part with gain is refused", "[input]") {
    // 4 * 10^(-0.55) = 1.127
    CHECK(signal_room("[[device]]\nname = 'a'\nkind = 'splitter'\nways = 4\nloss = '5.5 dB'\n").lines() ==
          Lines{"venue.toml:1:1: error: device.passive-gain: device a: passive splitter would give "
                "out 1.13 times the power it takes in at in; its losses are too small: n ways alike "
                "lose at least 10 log10(n) dB each"});
    CHECK(signal_room("[[device]]\nname = 'a'\nkind = 'pad'\nloss = '-3 dB'\n").lines().front() ==
          "venue.toml:4:8: error: file.out-of-range: 'loss' is -3.0 dB; a loss is written without "
          "sign and is at least 0 dB");
}

TEST_CASE("a tap whose through and tap ports give more than they get is refused", "[input]") {
    // An ideal 6 dB tap loses 1.256 dB on the way through (10 log10(1 / (1 - 10^-0.6))).
    CHECK(signal_room("[[device]]\nname='a'\nkind='tap'\ntap_loss='6 dB'\nthrough_loss='1.2 dB'\n")
              .lines()
              .size() == 1);
    CHECK(signal_room("[[device]]\nname='a'\nkind='tap'\ntap_loss='6 dB'\nthrough_loss='1.3 dB'\n")
              .lines()
              .empty());
}

TEST_CASE("light and copper are not joined by a run", "[input]") {
    CHECK(signal_room(kFeed + "[[device]]\nname = 'tx'\nkind = 'optical-transmitter'\nlaunch_power = "
                      "'5 dBm'\n[[device]]\nname = 'p'\nkind = 'pad'\n[[run]]\nfrom = 'tx'\nto = 'p'\n")
              .lines() == Lines{"venue.toml:18:1: error: run.light-to-copper: tx.out is optical and "
                                "p.in is not; light goes from an optical-transmitter to an "
                                "optical-receiver"});
}

TEST_CASE("what a device needs and does not have is named", "[input]") {
    CHECK(signal_room("[[device]]\nname = 'a'\nkind = 'amplifier'\n").lines() ==
          Lines{"venue.toml:1:1: error: device.no-gain: device a: amplifier has no gain; add gain = "
                "\"... dB\""});
    CHECK(signal_room("[[device]]\nname = 'a'\nkind = 'splitter'\nloss = '4 dB'\n").lines() ==
          Lines{"venue.toml:1:1: error: device.no-ways: device a: splitter does not say how many ways "
                "it has; add ways = 2 to 16"});
}

TEST_CASE("a name that stands twice is reported with its first place", "[input]") {
    CHECK(signal_room("[[device]]\nname = 'a'\nkind = 'pad'\n[[device]]\nname = 'a'\nkind = 'pad'\n")
              .lines() == Lines{"venue.toml:4:1: error: file.name-twice: feed, device or card 'a' "
                                "stands twice; the first is at venue.toml:1:1; give this another "
                                "name"});
}

TEST_CASE("lane lists that do not fit are errors", "[input]") {
    CHECK(signal_room(kFeed + kSplitter + kRun + "lanes = [1, 2]\nto_lanes = [1]\n").lines() ==
          Lines{"venue.toml:21:12: error: run.lane-lists: to_lanes has 1 lanes and lanes has 2; give "
                "both lists the same length"});
    CHECK(signal_room(kFeed + kSplitter + kRun + "lanes = [3]\nto_lanes = [1]\n").lines() ==
          Lines{"venue.toml:17:1: error: run.lane-outside-port: lane 3 of west.out; the port is 2 "
                "wide"});
}

TEST_CASE("settings on the wrong kind, or not one per lane, are errors", "[input]") {
    CHECK(signal_room("[[device]]\nname = 'a'\nkind = 'pad'\ntrim = ['1 dB']\n").lines() ==
          Lines{"venue.toml:1:1: error: device.setting-of-other-kind: device a: trim or slope is set "
                "on a pad; only a device of kind amplifier has it"});
    CHECK(signal_room("[[device]]\nname = 'a'\nkind = 'pad'\nlanes = 3\npads = ['1 dB', 'none']\n")
              .lines() == Lines{"venue.toml:1:1: error: device.setting-count: device a: pads has 2 "
                                "values for 3 lanes; give one for all lanes or one per lane"});
}

TEST_CASE("all mistakes of a file come in one go, and copies repeat none", "[input]") {
    const auto room = signal_room("[[device]]\nname = 'a'\ncount = 4\nkind = 'splitter'\nways = 4\n"
                                  "[[cable]]\nname = 'c'\nloss = ['6 dB at 950 MHz', '9 dB']\n"
                                  "[[run]]\nfrom = 'x'\nto = 'y'\nlenght = '5 m'\n");
    std::vector<std::string> ids;
    for (const auto& f : room.findings) ids.push_back(f.id);
    std::sort(ids.begin(), ids.end());
    CHECK(ids == Lines{"cable.no-frequency", "device.no-loss", "file.bad-list", "file.unknown-key",
                       "run.unknown-device", "run.unknown-device"});
}

TEST_CASE("lanes of a feed are numbered without a gap", "[input]") {
    CHECK(signal_room("[[feed]]\nname='w'\n[[feed.lane]]\nlane=2\nband_low='950 MHz'\nband_high='2150 "
                      "MHz'\nlevel='-20 dBm'\n")
              .lines() == Lines{"venue.toml:3:1: error: feed.lane-numbers: feed w: lane 2 stands "
                                "where lane 1 is due; number the lanes 1 to 1 without gap or repeat"});
}

TEST_CASE("a downlink needs a local oscillator, and agrees with the frequency", "[input]") {
    const std::string lane = "[[feed]]\nname='w'\n[[feed.lane]]\nband_low='950 MHz'\nband_high='2150 "
                             "MHz'\nlevel='-20 dBm'\n";
    const std::string carrier = "[[carrier]]\nname='c'\nfeed='w'\nsystem='dvb-s'\ndownlink='10832 MHz'\n";
    CHECK(signal_room(lane + carrier).lines() ==
          Lines{"venue.toml:7:1: error: carrier.no-local-oscillator: carrier c: downlink is given and "
                "lane 1 of feed w has no local_oscillator; add local_oscillator to the lane, or "
                "frequency to the carrier"});
    const auto room = signal_room(lane + "local_oscillator='9.75 GHz'\n" + carrier);
    CHECK(room.lines().empty());
    CHECK(room.venue.carriers[0].frequency == frequency_of_megahertz(1082));
    CHECK(signal_room(lane + "local_oscillator='9.75 GHz'\n" + carrier + "frequency='1083 MHz'\n")
              .lines() == Lines{"venue.toml:8:1: error: carrier.frequency-disagrees: carrier c: "
                                "frequency 1083 MHz is not |downlink - local oscillator| = 1082 MHz; "
                                "leave out one of frequency and downlink, or correct it"});
}

}  // namespace signal_input_test
