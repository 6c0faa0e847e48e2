// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/noise.hpp"

#include <catch2/catch.hpp>

#include "planner/signal/overload.hpp"
#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

namespace noise_test {

namespace {

std::string feed(const std::string& level, const std::string& more = "") {
    return "[[feed]]\nname = 'w'\n[[feed.lane]]\nband_low = '950 MHz'\nband_high = '2150 MHz'\nlevel = '" +
           level + "'\n" + more;
}

std::string carrier(const std::string& name, int mhz, const std::string& more = "") {
    return "[[carrier]]\nname = '" + name + "'\nfeed = 'w'\nsystem = 'dvb-s'\nmodulation = 'qpsk'\ncode_rate = "
           "'3/4'\nsymbol_rate = '27.5 Msym/s'\nfrequency = '" + std::to_string(mhz) + " MHz'\n" + more;
}

std::string amplifier(const std::string& name, const std::string& gain, const std::string& nf,
                      const std::string& more = "") {
    return "[[device]]\nname = '" + name + "'\nkind = 'amplifier'\ngain = '" + gain + " dB'\nnoise_figure = '" +
           nf + " dB'\n" + more;
}

std::string run(const std::string& from, const std::string& to, const std::string& loss = "0 dB") {
    return "[[run]]\nfrom = '" + from + "'\nto = '" + to + "'\nloss = '" + loss + "'\n";
}

std::string card(const std::string& nf, const std::string& more = "") {
    return "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 8\ntuners = 4\nnoise_figure = '" + nf +
           " dB'\n" + more + "[[card]]\nname = 'A1'\nmodel = 'rx'\n";
}

// C/N of the first carrier lost between a source at 290 K and the card's decision.
double cascade(const SignalRoom& room, double source_dbm) {
    REQUIRE(room.lines().empty());
    REQUIRE(room.plan.noise.size() == 1);
    const double at_source = source_dbm - thermal_noise(Frequency(27'500'000)).dbm();
    return at_source - room.plan.noise[0].carrier_to_noise.db();
}

}  // namespace

TEST_CASE("thermal noise in usual bandwidths", "[outside]") {
    // k T0 B at 290 K: -173.975 dBm/Hz; 4 MHz -107.95, 8 MHz -104.94, 27.5 MHz -99.58, 36 MHz -98.41 dBm.
    CHECK(thermal_noise(Frequency(4'000'000)).dbm() == Approx(-107.95).margin(0.01));
    CHECK(thermal_noise(Frequency(8'000'000)).dbm() == Approx(-104.94).margin(0.01));
    CHECK(thermal_noise(Frequency(27'500'000)).dbm() == Approx(-99.58).margin(0.01));
    CHECK(thermal_noise(Frequency(36'000'000)).dbm() == Approx(-98.41).margin(0.01));
}

TEST_CASE("a published chain of four stages has a noise figure of 3.83 dB", "[outside]") {
    // (noise figure, gain): (2, -2), (1.5, 18), (1, -1), (8, -6) dB; the passive ones as runs.
    const auto room = signal_room(feed("-60 dBm") + carrier("c", 1200) + amplifier("a", "18", "1.5") +
                                  amplifier("m", "-6", "8") + card("0") + run("w", "a", "2 dB") +
                                  run("a", "m", "1 dB") + run("m", "A1"));
    CHECK(cascade(room, -60) == Approx(3.83).margin(0.01));
}

TEST_CASE("a low-noise first stage rules, until the cable grows too long", "[outside]") {
    // Friis: 0.7 dB/55 dB, 20 dB of cable, receiver 10 dB: 0.712 dB; 0.7 dB/30 dB, 25 dB, 12 dB: 7.91.
    const auto chain = [](const char* gain, const char* loss, const char* nf) {
        return signal_room(feed("-80 dBm") + carrier("c", 1200) + amplifier("lnb", gain, "0.7") + card(nf) +
                           run("w", "lnb") + run("lnb", "A1", loss));
    };
    CHECK(cascade(chain("55", "20 dB", "10"), -80) == Approx(0.712).margin(0.001));
    CHECK(cascade(chain("30", "25 dB", "12"), -80) == Approx(7.91).margin(0.01));
}

TEST_CASE("carrier-to-noise ratios combine as published", "[outside]") {
    // Hranac, "Broadband: Total Power, Part 2": 55, 53 and 49 dB give 46.83 dB. The feed brings 55 dB;
    // each amplifier adds noise for its own C/N alone.
    const double floor = thermal_noise(Frequency(27'500'000)).dbm();
    const auto nf_for = [&](double cn) {  // F - 1 = C / (kTB * C/N)
        return number_text(10 * std::log10(1 + std::pow(10, (-40 - floor - cn) / 10)), 6);
    };
    const auto room = signal_room(feed("-40 dBm", "carrier_to_noise = '55 dB'\n") + carrier("c", 1200) +
                                  amplifier("a", "0", nf_for(53)) + amplifier("b", "0", nf_for(49)) +
                                  card("0") + run("w", "a") + run("a", "b") + run("b", "A1"));
    CHECK(room.lines().empty());
    CHECK(room.plan.noise.at(0).carrier_to_noise.db() == Approx(46.83).margin(0.01));
}

TEST_CASE("a carrier below its threshold is an error, little in hand a warning", "[unit]") {
    const auto with = [](const std::string& cn) {
        return signal_room(feed("-30 dBm", "carrier_to_noise = '" + cn + "'\n") + carrier("c", 1200) + card("0") +
                           run("w", "A1"));
    };
    CHECK(with("12 dB").plan_lines().empty());
    CHECK(with("8 dB").plan_lines() ==
          std::vector<std::string>{"venue.toml:8:1: warning: noise.thin-margin: A1.in1 carrier c: C/N of 8.0 dB "
                                   "against a threshold of 6.9 dB (1.1 dB in hand); raise the level before the "
                                   "first lossy or noisy part, or choose a more robust carrier"});
    const auto room = with("5 dB");
    REQUIRE(room.planned.size() == 1);
    CHECK(room.planned[0].severity == Severity::error);
    CHECK(room.planned[0].amount == "1.9 dB short");
}

TEST_CASE("optical loss costs noise twice over", "[unit]") {
    // The receiver's noise is reckoned at its input: 5 dB less light is 10 dB less RF before it.
    const auto with = [](const std::string& loss) {
        const auto room = signal_room(
            feed("-40 dBm", "carrier_to_noise = '60 dB'\n") + carrier("c", 1200) +
            "[[device]]\nname = 'tx'\nkind = 'optical-transmitter'\nlaunch_power = '6 dBm'\n"
            "[[device]]\nname = 'rx'\nkind = 'optical-receiver'\ngain = '0 dB'\nnoise_figure = '25 dB'\n" +
            card("0") + run("w", "tx") + run("tx", "rx", loss) + run("rx", "A1"));
        return room.plan.noise.at(0).carrier_to_noise.db();
    };
    CHECK(with("5 dB") - with("10 dB") == Approx(10).margin(0.1));
}

TEST_CASE("output falls with carriers as EN 60728-3 practice and as equal power say", "[outside]") {
    // 7.5 log10(n - 1) (from memory); 10 log10(n / 2) and the printed steps of two amplifier manuals
    // (3: 2, 8: 6, 16: 9, 24: 11, 36: 12.5 dB) agree within 0.6 dB.
    CHECK(derating(Derating::ctb, 2).db() == 0);
    CHECK(derating(Derating::ctb, 3).db() == Approx(2.26).margin(0.01));
    CHECK(derating(Derating::ctb, 24).db() == Approx(10.21).margin(0.01));
    const std::pair<int, double> printed[] = {{3, 2}, {8, 6}, {16, 9}, {24, 11}, {36, 12.5}};
    for (const auto& [n, db] : printed) CHECK(derating(Derating::cautious, n).db() == Approx(db).margin(0.6));
    CHECK(derating(Derating::cautious, 24) == derating(Derating::power, 24));
    CHECK(derating(Derating::cautious, 8) == derating(Derating::ctb, 8));
    CHECK(derating(Derating::none, 50).db() == 0);
}

TEST_CASE("total power of equal carriers", "[outside]") {
    // P1 + 10 log10 n: 32 carriers of 75 dBuV are 90.05 dBuV.
    CHECK(total_power(Level::dbuv(75), 32).dbuv() == Approx(90.05).margin(0.01));
}

TEST_CASE("an amplifier beyond its greatest output is an error", "[input]") {
    std::string carriers;
    for (int i = 0; i < 8; ++i) carriers += carrier("c" + std::to_string(i), 1000 + 40 * i);
    const auto room = signal_room(feed("-20 dBm") + carriers +
                                  amplifier("a", "30", "5", "maximum_output = '15 dBm'\n") + run("w", "a"));
    // 15 dBm less 7.5 log10(7) = 6.34 dB is 8.66 dBm; the output is 10 dBm.
    CHECK(room.plan_lines() ==
          std::vector<std::string>{"venue.toml:71:1: error: amplifier.overdriven: a.out lane 1: worst case "
                                   "10.0 dBm is above the greatest output of 8.7 dBm with 8 carriers (1.3 dB); "
                                   "lower its trim or insert a pad of 2 dB before a"});
    CHECK(room.plan.amplifiers.at(0).total_power.dbm() == Approx(10 + 10 * std::log10(8)));
}

}  // namespace noise_test
