// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/levels.hpp"

#include <catch2/catch.hpp>

#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

namespace levels_test {

namespace {

// One lane at -20 dBm from 1000 to 2000 MHz and what `rest` says.
SignalRoom room_with(const std::string& rest, const std::string& lane = "") {
    return signal_room("[[feed]]\nname = 'west'\n[[feed.lane]]\nband_low = '1000 MHz'\nband_high = "
                       "'2000 MHz'\nlevel = '-20 dBm'\n" + lane + rest);
}

std::string run(const std::string& from, const std::string& to, const std::string& more = "loss = '0 dB'") {
    return "[[run]]\nfrom = '" + from + "'\nto = '" + to + "'\n" + more + "\n";
}

std::string device(const std::string& name, const std::string& kind, const std::string& more) {
    return "[[device]]\nname = '" + name + "'\nkind = '" + kind + "'\n" + more + "\n";
}

const std::string kEnd = device("end", "pad", "loss = '0 dB'");
const std::string kLight = device("tx", "optical-transmitter", "launch_power = '6 dBm'") +
                           "[[device]]\nname = 'rx'\nkind = 'optical-receiver'\n";

}  // namespace

TEST_CASE("a printed coax tree is reckoned as worked by hand, at both band edges", "[outside]") {
    // "CATV/MATV Design Fundamentals", page 5: 35 dBmV at 50 MHz and 40 dBmV at 750 MHz into a
    // two-way splitter, cable of 0.0050 and 0.0204 dB/ft, three taps. The print slips by 1 dB at the
    // fourth step of 750 MHz; these are the recomputed figures.
    const std::string cable = "[[cable]]\nname = 'trunk'\nper = '1 ft'\nloss = ['0.0050 dB at 50 MHz', "
                              "'0.0204 dB at 750 MHz']\n";
    const auto tap = [](const std::string& name, int ways, const std::string& value,
                        const std::string& low, const std::string& high) {
        return device(name, "tap", "ways = " + std::to_string(ways) + "\ntap_loss = '" + value +
                      "'\nthrough_loss = ['" + low + " dB at 50 MHz', '" + high + " dB at 750 MHz']");
    };
    const auto length = [](int feet) {
        return "cable = 'trunk'\nlength = '" + std::to_string(feet) + " ft'";
    };
    const auto room = signal_room(
        "[[feed]]\nname = 'head'\nkind = 'antenna'\n[[feed.lane]]\nband_low = '50 MHz'\nband_high = '750 "
        "MHz'\nlevel_low = '35 dBmV'\nlevel_high = '40 dBmV'\n" + cable +
        device("split", "splitter", "ways = 2\nloss = ['3.9 dB at 50 MHz', '4.9 dB at 750 MHz']") +
        tap("t23", 4, "23 dB", "0.7", "1.4") + tap("t20", 4, "20 dB", "0.7", "1.5") +
        tap("t17", 8, "17 dB", "1.7", "2.6") + kEnd + run("head", "split") +
        run("split.out1", "t23", length(300)) + run("t23.out", "t20", length(80)) +
        run("t20.out", "t17", length(80)) + run("t17.out", "end", length(80)));
    CHECK(room.lines().empty());
    const auto check = [&](const std::string& dev, const std::string& port, double low, double high) {
        INFO(dev << "." << port);
        // The fit through two points of so curved a pair is not exact: 0.05 dB.
        CHECK(room.at(dev, port).low.nominal.dbmv() == Approx(low).margin(0.05));
        CHECK(room.at(dev, port).high.nominal.dbmv() == Approx(high).margin(0.05));
    };
    check("split", "out1", 31.10, 35.10);
    check("t23", "in", 29.60, 28.98);
    check("t23", "out", 28.90, 27.58);
    check("t20", "in", 28.50, 25.95);
    check("t20", "out", 27.80, 24.45);
    check("t17", "in", 27.40, 22.82);
    check("t17", "out", 25.70, 20.22);
    check("end", "in", 25.30, 18.58);
}

TEST_CASE("split then amplify: the budget of a cable test set's manual", "[outside]") {
    // +10 dBmV, a 16-way splitter of 16 dB gives -6, an amplifier of 15 dB gives +9.
    const auto room = signal_room(
        "[[feed]]\nname = 'head'\n[[feed.lane]]\nband_low = '50 MHz'\nband_high = '750 MHz'\nlevel = '10 "
        "dBmV'\n" + device("split", "splitter", "ways = 16\nloss = '16 dB'") +
        device("amp", "amplifier", "gain = '15 dB'") + kEnd + run("head", "split") +
        run("split.out16", "amp") + run("amp", "end"));
    CHECK(room.at("amp", "in").low.nominal.dbmv() == Approx(-6));
    CHECK(room.at("end", "in").low.nominal.dbmv() == Approx(9));
}

TEST_CASE("tolerances add up in the worst case and as squares in the likely one", "[unit]") {
    const auto room = room_with(
        device("pad", "pad", "loss = '6 dB'\ntolerance = '1.5 dB'") +
            run("west", "pad", "loss = '20 dB'\ntolerance_percent = 10"),
        "tolerance = '2 dB'\n");
    const auto& level = room.at("pad", "out").low;
    CHECK(level.nominal.dbm() == Approx(-46));
    CHECK(level.worst_low.dbm() == Approx(-46 - 2 - 2 - 1.5));
    CHECK(level.worst_high.dbm() == Approx(-46 + 5.5));
    CHECK(level.rss_high.dbm() == Approx(-46 + std::sqrt(4 + 4 + 2.25)));
}

TEST_CASE("windows are judged on the worst case", "[unit]") {
    const auto window = [](const std::string& tolerance) {
        return room_with(device("amp", "amplifier", "gain = '0 dB'\nwindow_low = '-30 dBm'\nwindow_high = '-20 dBm'") +
                         run("west", "amp"), "tolerance = '" + tolerance + "'\n");
    };
    CHECK_FALSE(window("0 dB").planned_with("level.above-window"));
    const auto room = window("1.5 dB");
    REQUIRE(room.planned_with("level.above-window"));
    CHECK(room.planned[0].amount == "1.5 dB");
    CHECK(room.at("amp", "in").margin->db() == Approx(-1.5));
}

TEST_CASE("outdoor coax is warmer in the worst case and at the ambient in the nominal one", "[unit]") {
    const std::string climate = "[climate]\nambient = '30 C'\nhot = '50 C'\ncold = '-10 C'\n";
    const auto room = room_with(climate + kEnd + run("west", "end", "cable = 'rg6'\nlength = '100 m'\noutdoor = true"));
    const auto indoors = room_with(climate + kEnd + run("west", "end", "cable = 'rg6'\nlength = '100 m'"));
    const auto& level = room.at("end", "in").high;
    const double loss = -20 - indoors.at("end", "in").high.nominal.dbm();
    CHECK(level.nominal.dbm() == Approx(-20 - 1.02 * loss));
    CHECK(level.worst_low.dbm() == Approx(-20 - 1.06 * loss));
    CHECK(level.worst_high.dbm() == Approx(-20 - 0.94 * loss));
}

TEST_CASE("slope takes off all of itself at the low edge of the amplifier's band", "[unit]") {
    const auto room = room_with(device("amp", "amplifier", "gain = '20 dB'\nslope = '6 dB'\nslope_high = '9 dB'\n"
                                       "band_low = '950 MHz'\nband_high = '2150 MHz'\ntrim = '-2 dB'\ntrim_low = '-5 dB'") +
                                run("west", "amp"));
    // 1000 MHz is 50 of 1200 MHz up the amplifier's band, whatever the lane's own band.
    CHECK(room.at("amp", "out").low.nominal.dbm() == Approx(-20 + 18 - 6 * (1150.0 / 1200)));
    CHECK(room.at("amp", "out").high.nominal.dbm() == Approx(-20 + 18 - 6 * (150.0 / 1200)));
}

TEST_CASE("a lane's gain is trimmed on its own", "[unit]") {
    const auto room = signal_room(
        "[[feed]]\nname = 'w'\n[[feed.lane]]\nband_low = '1 GHz'\nband_high = '2 GHz'\nlevel = '-20 dBm'\n"
        "[[feed.lane]]\nband_low = '1 GHz'\nband_high = '2 GHz'\nlevel = '-25 dBm'\n" +
        device("amp", "amplifier", "lanes = 2\ngain = '10 dB'\ntrim_low = '-9 dB'\ntrim = ['-5 dB', '0 dB']") +
        run("w", "amp"));
    CHECK(room.at("amp", "out", 1).low.nominal.dbm() == Approx(-15));
    CHECK(room.at("amp", "out", 2).low.nominal.dbm() == Approx(-15));
}

TEST_CASE("an optical dB is two in RF, and its tolerance too", "[outside]") {
    // FS-1037C, "transfer function": optical -3 dB is electrical -6 dB. Budget: 2 km at 0.35 dB/km,
    // 2 connections at 0.5 dB, 2 splices at 0.1 dB are 1.9 dB of light, 3.8 dB of RF.
    const std::string fibre = "[[cable]]\nname = 'glass'\nmedium = 'fibre'\nloss_1310 = '0.35 dB'\n"
                              "connector_loss = '0.5 dB'\nsplice_loss = '0.1 dB'\n";
    const auto room = room_with(
        fibre + kLight + "gain = '3 dB'\ntolerance = '1 dB'\noptical_low = '0 dBm'\noptical_high = '5 dBm'\n" +
        run("west", "tx") + run("tx", "rx", "cable = 'glass'\nlength = '2 km'\nconnectors = 2\nsplices = 2\ntolerance = '0.4 dB'"));
    CHECK(room.lines().empty());
    const auto& light = room.at("rx", "in");
    CHECK(light.optical);
    CHECK(light.low.nominal.dbm() == Approx(6 - 1.9));
    CHECK(light.low.worst_low.dbm() == Approx(6 - 1.9 - 0.4));
    CHECK(light.margin->db() == Approx(0.5));
    const auto& out = room.at("rx", "out").low;
    CHECK(out.nominal.dbm() == Approx(-20 + 3 - 3.8));
    CHECK(out.worst_low.dbm() == Approx(-20.8 - 0.8 - 1));
    CHECK(out.rss_low.dbm() == Approx(-20.8 - std::sqrt(0.64 + 1)));
}

TEST_CASE("a published optical margin: 13 - 2 - 2.5 - 1 - 0.5 is 7 dB", "[outside]") {
    // Network hardware guide: power budget 13 dB, 2 km at 1 dB/km, 5 connectors at 0.5 dB, 2 splices
    // at 0.5 dB, 0.5 dB for modes. The 0.5 dB is a run reckoned flat here.
    const std::string fibre = "[[cable]]\nname = 'glass'\nmedium = 'fibre'\nloss_1310 = '1 dB'\n"
                              "connector_loss = '0.5 dB'\nsplice_loss = '0.5 dB'\n";
    const auto room = room_with(
        fibre + device("tx", "optical-transmitter", "launch_power = '0 dBm'") +
        device("mode", "pad", "optical = true\nloss = '0.5 dB'") +
        device("rx", "optical-receiver", "gain = '0 dB'\noptical_low = '-13 dBm'") + run("west", "tx") +
        run("tx", "mode", "cable = 'glass'\nlength = '2 km'\nconnectors = 5\nsplices = 2") +
        run("mode", "rx", "loss = '0 dB'"));
    CHECK(room.lines().empty());
    CHECK(room.at("rx", "in").margin->db() == Approx(7));
}

TEST_CASE("a receiver that holds its gain is not moved by optical loss", "[unit]") {
    const auto room = room_with(kLight + "levelling = 'gain-held'\ngain = '3 dB'\ntolerance = '1 dB'\n" +
                                run("west", "tx") + run("tx", "rx", "loss = '5 dB'\ntolerance = '2 dB'"),
                                "tolerance = '0.5 dB'\n");
    const auto& out = room.at("rx", "out").low;
    CHECK(out.nominal.dbm() == Approx(-17));
    CHECK(out.worst_high.dbm() == Approx(-17 + 0.5 + 1));
}

TEST_CASE("a receiver that holds its level keeps the tilt and ends earlier tolerances", "[unit]") {
    const auto room = room_with(
        kLight + "levelling = 'level-held'\nheld_level = '-10 dBm'\nheld_at = '2 GHz'\ntolerance = '1 dB'\n" +
            run("west", "tx", "cable = 'rg6'\nlength = '50 m'\ntolerance_percent = 10") +
            run("tx", "rx", "loss = '5 dB'\ntolerance = '2 dB'"),
        "tolerance = '3 dB'\n");
    const auto& before = room.at("tx", "in");
    const auto& after = room.at("rx", "out");
    CHECK(after.high.nominal.dbm() == Approx(-10));
    CHECK((after.low.nominal - after.high.nominal).db() ==
          Approx((before.low.nominal - before.high.nominal).db()));
    CHECK(after.low.worst_high.dbm() - after.low.nominal.dbm() == Approx(1));
    CHECK(after.high.worst_low.dbm() == Approx(-11));
}

TEST_CASE("the least light that a receiver needs is a window of its own", "[unit]") {
    const auto room = room_with(kLight + "gain = '0 dB'\noptical_low = '0 dBm'\n" + run("west", "tx") +
                                run("tx", "rx", "loss = '7 dB'"));
    REQUIRE(room.planned_with("optical.below-window"));
    CHECK(room.planned[0].amount == "1.0 dB");
}

TEST_CASE("carriers in use have levels of their own between the band edges", "[unit]") {
    const auto room = signal_room(
        "[[feed]]\nname = 'w'\n[[feed.lane]]\nband_low = '1 GHz'\nband_high = '2 GHz'\nlevel_low = '-20 "
        "dBm'\nlevel_high = '-30 dBm'\n[[carrier]]\nname = 'a'\nfeed = 'w'\nfrequency = '1.5 GHz'\nsystem = "
        "'dvb-s'\n[[carrier]]\nname = 'b'\nfeed = 'w'\nfrequency = '1.6 GHz'\nsystem = 'dvb-s'\nlevel = '-40 dBm'\n" +
        kEnd + run("w", "end"));
    const auto& level = room.at("end", "in");
    REQUIRE(level.carriers.size() == 2);
    CHECK(level.carriers[0].nominal.dbm() == Approx(-25));
    CHECK(level.carriers[1].nominal.dbm() == Approx(-40));
    CHECK(level.carrier_names == std::vector<std::string>{"a", "b"});
}

TEST_CASE("behind a single-cable output the cable is reckoned at the user bands", "[unit]") {
    const auto room = room_with(
        "[[cable]]\nname = 'drop'\nloss = ['10 dB at 100 MHz', '20 dB at 400 MHz']\n" +
        device("ms", "multiswitch", "outputs = 1\noutput_level = '-30 dBm'\ntolerance = '1 dB'\nuser_bands = ['100 MHz', '400 MHz']") +
        kEnd + "[[carrier]]\nname = 'a'\nfeed = 'west'\nfrequency = '1.5 GHz'\nsystem = 'dvb-s'\n" +
        run("west", "ms") + run("ms", "end", "cable = 'drop'\nlength = '100 m'"), "tolerance = '9 dB'\n");
    CHECK(room.lines().empty());
    const auto& level = room.at("end", "in");
    CHECK(level.user_bands);
    CHECK(level.low.at == frequency_of_megahertz(100));
    CHECK(level.low.nominal.dbm() == Approx(-40));
    CHECK(level.high.nominal.dbm() == Approx(-50));
    REQUIRE(level.carriers.size() == 1);
    CHECK(level.carriers[0].nominal.dbm() == Approx(-45));
    CHECK(level.carriers[0].worst_low.dbm() == Approx(-51));
    CHECK(level.carriers[0].worst_high.dbm() == Approx(-39));
}

}  // namespace levels_test
