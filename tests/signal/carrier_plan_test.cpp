// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/carrier_plan.hpp"

#include <catch2/catch.hpp>

#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

namespace carrier_plan_test {

namespace {

using Lines = std::vector<std::string>;

const std::string kFeeds = R"([[feed]]
name = 'w'
[[feed.lane]]
band_low = '950 MHz'
band_high = '2150 MHz'
level = '-30 dBm'
[[feed]]
name = 'e'
[[feed.lane]]
band_low = '950 MHz'
band_high = '2150 MHz'
level = '-30 dBm'
)";

std::string carrier(const std::string& name, const std::string& feed, double mhz, const std::string& more = "") {
    return "[[carrier]]\nname = '" + name + "'\nfeed = '" + feed + "'\nsystem = 'dvb-s'\ncode_rate = '3/4'\n"
           "symbol_rate = '27.5 Msym/s'\nfrequency = '" + number_text(mhz, 3) + " MHz'\n" + more;
}

std::string run(const std::string& from, const std::string& to, const std::string& more = "loss = '0 dB'") {
    return "[[run]]\nfrom = '" + from + "'\nto = '" + to + "'\n" + more + "\n";
}

const std::string kStack = "[[device]]\nname = 'stack'\nkind = 'combiner'\nways = 2\nloss = '4 dB'\n";

}  // namespace

TEST_CASE("carriers of two lanes stacked on one cable must not overlap", "[input]") {
    const auto room = signal_room(kFeeds + carrier("a", "w", 1200) + carrier("b", "e", 1220) + kStack +
                                  run("w", "stack.in1") + run("e", "stack.in2"));
    CHECK(room.plan_lines() ==
          Lines{"venue.toml:20:1: error: carrier.overlap: carriers a and b: are 20 MHz apart on one conductor "
                "at stack.out and need 37.125 MHz (7.5 MHz); correct a frequency, or keep their lanes apart"});
}

TEST_CASE("touching roll-offs are a warning, room between is none", "[unit]") {
    const auto apart = [](double mhz) {
        return signal_room(kFeeds + carrier("a", "w", 1200) + carrier("b", "w", 1200 + mhz)).planned;
    };
    REQUIRE(apart(30).size() == 1);
    CHECK(apart(30)[0].severity == Severity::warning);
    CHECK(apart(38).empty());
}

TEST_CASE("lanes on cables of their own may use one frequency", "[unit]") {
    CHECK(signal_room(kFeeds + carrier("a", "w", 1200) + carrier("b", "e", 1200)).planned.empty());
}

TEST_CASE("a carrier whose symbols reach out of its lane is an error", "[input]") {
    CHECK(signal_room(kFeeds + carrier("a", "w", 960)).lines() ==
          Lines{"venue.toml:13:1: error: carrier.outside-lane: carrier a: 960 MHz (946.25 MHz to 973.75 MHz) "
                "lies outside lane 1 of feed w; the lane carries 950 MHz to 2150 MHz"});
}

TEST_CASE("a modulation that the standard does not have is an error", "[input]") {
    CHECK(signal_room(kFeeds + "[[carrier]]\nname = 'a'\nfeed = 'w'\nsystem = 'dvb-s2'\nmodulation = '8psk'\n"
                      "code_rate = '7/8'\nfrequency = '1200 MHz'\n").lines() ==
          Lines{"venue.toml:13:1: error: carrier.unknown-mode: carrier a: dvb-s2 has no modulation and code rate "
                "'8psk 7/8'; known: 8psk 3/5, 8psk 2/3, 8psk 3/4, 8psk 5/6, 8psk 8/9, 8psk 9/10"});
}

TEST_CASE("services that do not fit into their carrier are an error with the excess", "[unit]") {
    auto room = loaded_signal_room(kFeeds + carrier("a", "w", 1200));
    CHECK(room.venue.carriers[0].transport_rate->bits_per_second() == Approx(38014706).margin(1));
    for (int i = 0; i < 4; ++i) {
        Service service;
        service.carrier = "a";
        service.programme.rate = megabits_per_second(10);
        room.venue.services.push_back(service);
    }
    Findings findings;
    judge_capacity(room.venue, findings);
    REQUIRE(findings.size() == 1);
    CHECK(to_line(findings[0]) ==
          "venue.toml:13:1: error: carrier.overfull: carrier a: its services need 40 Mbit/s and it holds "
          "38.014706 Mbit/s (1.985294 Mbit/s); correct the rates of its services or its modulation");
}

TEST_CASE("carriers at a card input that differ by more than it takes are an error", "[unit]") {
    const std::string card = "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 8\ntuners = 4\nslope_limit = "
                             "'3 dB'\n[[card]]\nname = 'A1'\nmodel = 'rx'\n";
    const auto with = [&](const std::string& length) {
        return signal_room(kFeeds + carrier("a", "w", 1000) + carrier("b", "w", 2100) + card +
                           run("w", "A1", "cable = 'rg6'\nlength = '" + length + "'"));
    };
    CHECK_FALSE(with("10 m").planned_with("level.too-sloped"));
    const auto room = with("60 m");
    REQUIRE(room.planned_with("level.too-sloped"));
}

TEST_CASE("a cable reckoned beyond its points is said so, once", "[unit]") {
    const auto room = signal_room(kFeeds + "[[cable]]\nname = 'old'\nloss = ['5 dB at 100 MHz', '15 dB at 860 MHz']\n"
                                  "[[device]]\nname = 'p'\nkind = 'pad'\ncount = 2\n" +
                                  run("w", "p-1", "cable = 'old'\nlength = '10 m'") +
                                  run("e", "p-2", "cable = 'old'\nlength = '10 m'"));
    CHECK(room.plan_lines() ==
          Lines{"venue.toml:13:1: warning: cable.extrapolated: cable old: reckoned at 2150 MHz, its points reach "
                "from 100 MHz to 860 MHz; give its loss at the band edges in use"});
}

}  // namespace carrier_plan_test
