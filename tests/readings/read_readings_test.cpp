// SPDX-License-Identifier: Apache-2.0
#include "mastline/readings/read_readings.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

#include "readings/small_chain.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

struct Sheet {
    std::vector<Reading> readings;
    std::vector<std::string> lines;
    bool has(const std::string& text) const {
        return std::any_of(lines.begin(), lines.end(),
                           [&](const std::string& line) { return line.find(text) != std::string::npos; });
    }
};

Sheet sheet(const std::string& text, const std::string& venue = kSmallChain) {
    const auto room = signal_room(venue);
    REQUIRE(room.lines().empty());
    Findings findings;
    Sheet out;
    out.readings = read_readings(text, "night.csv", room.venue, room.plan, findings);
    out.lines = SignalRoom::lines_of(findings);
    return out;
}

const std::string kHeader = "test point,lane,frequency,level\n";

}  // namespace

TEST_CASE("a sheet of readings gives points, levels and their places", "[unit]") {
    const auto s = sheet("Test point;Lane;Frequency;Level;Time;Instrument\n"
                         "head.out;2;1.5 GHz;25.75 dBmV;02:10;meter 1\n"
                         "head.out;1;1000 MHz;88,7;;\n");
    REQUIRE(s.readings.size() == 1);
    const auto& r = s.readings[0];
    CHECK(r.point.port == PortRef{"head", "out"});
    CHECK(r.point.lane.value == 2);
    CHECK(megahertz(*r.point.frequency) == 1500);
    CHECK(r.level->dbm() == Approx(-23.0006).margin(1e-3));  // 0 dBm is 48.75 dBmV across 75 ohm
    CHECK(r.time == "02:10");
    CHECK(r.instrument == "meter 1");
    CHECK(r.place == Place{"night.csv", 2, 1});
    REQUIRE(s.lines.size() == 1);
    CHECK(s.lines[0].starts_with("night.csv:3:21: error: file.bad-quantity: 'level'"));
}

TEST_CASE("the unit may stand in a column of its own, and blanks are no readings", "[unit]") {
    const auto s = sheet("test point,lane,frequency,level,unit\n"
                         "head.out,1,1000 MHz,-20.4,dBm\n"
                         "head.out,1,2000 MHz,,dBm\n"
                         "head.out,2,1000 MHz,85.8,dBuV\n"
                         "head.out,2,2000 MHz,No signal,dBm\n");
    CHECK(s.lines.empty());
    REQUIRE(s.readings.size() == 3);
    CHECK(s.readings[0].level->dbm() == Approx(-20.4));
    CHECK(s.readings[1].level->dbm() == Approx(85.8 - 108.75).margin(1e-3));
    CHECK_FALSE(s.readings[2].level);
}

TEST_CASE("readings of a point are averaged, and their spread is told", "[unit]") {
    const auto s = sheet(kHeader + "head.out,1,1000 MHz,-20 dBm\nhead.out,2,1000 MHz,-23 dBm\n"
                                   "head.out,1,1000 MHz,-23 dBm\nhead.out,1,1000 MHz,-24.5 dBm\n");
    const auto points = averaged(s.readings);
    REQUIRE(points.size() == 2);
    CHECK(points[0].level->dbm() == Approx(-22.5));
    CHECK(points[0].spread.db() == Approx(4.5));
    CHECK(points[0].count == 3);
    REQUIRE(s.lines.size() == 1);
    CHECK(s.lines[0] == "night.csv:2:1: warning: readings.unsteady: head.out lane 1 at 1000 MHz: 3 readings differ "
                        "(4.5 dB); look for a loose connector, and read again");
}

TEST_CASE("every error of a sheet comes at once, with line, column and what would be right", "[input]") {
    const auto s = sheet(kHeader + "heed.out,1,1000 MHz,-20 dBm\n"
                                   "head.out,3,1000 MHz,-20 dBm\n"
                                   "head.out,1,900 MHz,-20 dBm\n"
                                   "head.out,1,1000 MHz,-20 dB\n"
                                   "head.out,1,1000 MHz,-20\n"
                                   "head.out,1,,-20 dBm\n"
                                   "head,1,1000 MHz,-20 dBm\n"
                                   "head.out,one,1000 MHz,-20 dBm\n"
                                   "head.out,1,1000 dBm,-20 dBm\n");
    CHECK(s.readings.empty());
    const std::vector<std::string> wanted{
        "night.csv:2:1: error: readings.unknown-test-point: unknown test point 'heed.out'; did you mean 'head.out'?",
        "night.csv:3:10: error: readings.no-such-lane: head.out has no lane 3; it has lanes 1 to 2",
        "night.csv:4:12: error: readings.frequency-outside-lane: 900 MHz is outside what comes to head.out lane 1; "
        "there is dish/1 from 1000 MHz to 2000 MHz",
        "night.csv:5:21: error: file.bad-quantity: 'level': \"-20 dB\" has the unit \"dB\"; a level is written like "
        "\"-20 dBm\" (units: dBm, dBmV, dBuV, dB\u00b5V); write the unit in the cell or in a column 'unit', or \"no signal\"",
        "night.csv:6:21: error: file.bad-quantity: 'level': \"-20\" has no unit; a level is written like \"-20 dBm\" "
        "(units: dBm, dBmV, dBuV, dB\u00b5V); write the unit in the cell or in a column 'unit', or \"no signal\"",
        "night.csv:7:1: error: file.missing-key: a reading at head.out has no 'frequency'; say where the meter was tuned",
        "night.csv:8:1: error: readings.unknown-test-point: unknown test point 'head'; name its port: head.in, head.out",
        "night.csv:9:10: error: file.wrong-type: 'lane' is a text; write a whole number",
    };
    for (const auto& line : wanted) {
        INFO(line);
        CHECK(std::find(s.lines.begin(), s.lines.end(), line) != s.lines.end());
    }
    CHECK(s.lines.size() == wanted.size() + 1);  // and the frequency in dBm
}

TEST_CASE("a sheet that is empty, torn or of another kind is refused", "[input]") {
    CHECK(sheet("").lines == std::vector<std::string>{
              "night.csv:1:1: error: file.empty-list: the sheet of readings is empty; its first row names the "
              "columns: test point,lane,frequency,level,..."});
    const auto other = sheet("number,name\n1,News\n");
    CHECK(other.has("night.csv:1:1: error: file.unknown-column: unknown column 'number'"));
    CHECK(other.has("night.csv:2:1: error: file.missing-key: a reading has no 'test_point'"));
    CHECK(sheet(kHeader + "\"head.out,1,1000 MHz,-20 dBm\n").has("file.open-quote"));
    CHECK(sheet(kHeader + "head.out,1,1000 MHz,-20 dBm,surplus\n").has("file.surplus-field"));
    CHECK(sheet(kHeader + "\x1b[2J.\xff,1,1000 MHz,-20 dBm\n").readings.empty());
}

TEST_CASE("a sheet printed before the plan changed is not taken silently", "[input]") {
    const auto s = sheet("test point,lane,frequency,level,expected dBm\nhead.out,1,1000 MHz,-20 dBm,-26.0\n"
                         "head.out,2,1000 MHz,-23 dBm,-23.0\n");
    CHECK(s.readings.size() == 2);
    CHECK(s.lines == std::vector<std::string>{
              "night.csv:2:29: warning: readings.stale-sheet: the sheet expects -26.0 dBm, the plan now -20.0 dBm; "
              "the plan counts; print the sheet anew"});
}
