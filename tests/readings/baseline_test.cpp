// SPDX-License-Identifier: Apache-2.0
#include "mastline/readings/baseline.hpp"

#include <catch2/catch.hpp>

#include "mastline/venue/toml_file.hpp"
#include "readings/small_chain.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

std::vector<PointReading> some_readings() {
    PointReading one, two;
    one.point = {{"head", "out"}, LaneNumber{1}, frequency_of_megahertz(1000)};
    one.level = Level::dbm(-20.35), one.count = 3, one.instrument = "meter \"7\"";
    two.point = {{"left", "in"}, LaneNumber{2}, frequency_of_megahertz(1234.5)};
    two.level = Level::dbm(-31.8);
    return {one, two};
}

struct ReadBack {
    std::optional<std::vector<PointReading>> points;
    std::vector<std::string> lines;
};

ReadBack read_back(const std::string& text, const std::string& venue = kSmallChain) {
    const auto room = signal_room(venue);
    Findings findings;
    ReadBack out;
    if (const auto root = read_toml(text, "baseline.toml", findings))
        out.points = read_baseline(*root, room.plan, findings);
    out.lines = SignalRoom::lines_of(findings);
    return out;
}

std::string written() {
    const auto room = small_chain();
    return write_baseline(room.venue, room.plan, some_readings());
}

}  // namespace

TEST_CASE("a baseline comes back as it was kept", "[unit]") {
    const auto text = written();
    CHECK(text.find("schema = \"mastline-baseline 1\"") != std::string::npos);
    const auto back = read_back(text);
    CHECK(back.lines.empty());
    REQUIRE(back.points);
    REQUIRE(back.points->size() == 2);
    CHECK((*back.points)[0].point == some_readings()[0].point);
    CHECK((*back.points)[0].level->dbm() == Approx(-20.35));
    CHECK((*back.points)[0].count == 3);
    CHECK((*back.points)[0].instrument == "meter \"7\"");
    CHECK((*back.points)[1].point == some_readings()[1].point);
    CHECK(written() == text);
}

TEST_CASE("points that the plan has moved since are left out of a baseline, with a warning", "[unit]") {
    auto venue = kSmallChain;
    venue.replace(venue.find("loss = \"5 dB\""), 13, "loss = \"9 dB\"");
    const auto back = read_back(written(), venue);
    REQUIRE(back.points);
    CHECK(back.points->size() == 1);
    REQUIRE(back.lines.size() == 1);
    CHECK(back.lines[0].find("warning: readings.baseline-outdated: left.in lane 2 at 1234.5 MHz: the plan expected "
                             "-32.0 dBm when it was accepted and now -36.0 dBm") != std::string::npos);
}

TEST_CASE("what is no baseline is refused with its place", "[input]") {
    CHECK_FALSE(read_back("schema = \"mastline-baseline 2\"\n").points);
    CHECK(read_back("schema = \"mastline-baseline 2\"\n").lines[0].starts_with("baseline.toml:1:10: error: readings.not-a-baseline"));
    CHECK_FALSE(read_back("").points);
    auto torn = written();
    torn.replace(torn.find("-20.35 dBm"), 10, "-20.35 dB");
    CHECK_FALSE(read_back(torn).points);
    CHECK_FALSE(read_back(written() + "\n" + written().substr(written().find("[[reading]]"))).points);
    CHECK_FALSE(read_back("schema = [").points);
}
