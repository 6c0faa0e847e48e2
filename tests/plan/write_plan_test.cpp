// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/plan/expectations.hpp"
#include "mastline/plan/write_plan.hpp"
#include "mastline/venue/toml_file.hpp"
#include "support/small_plan.hpp"

using namespace mastline;
using test::small_plan;

namespace {

test::SmallPlan finished() {
    auto small = small_plan();
    small.plan.lineup.flows = expected_flows(small.venue, small.plan);
    small.plan.lineup.revision = revision_of(small.venue, small.plan);
    return small;
}

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t n = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++n;
    return n;
}

}  // namespace

TEST_CASE("the plan file is TOML and begins with its schema, venue and revision", "[unit]") {
    const auto small = finished();
    const auto text = write_plan(small.venue, small.plan);
    Findings findings;
    const auto root = read_toml(text, "plan.toml", findings);
    REQUIRE(root);
    CHECK(findings.empty());
    CHECK(text.find("schema = \"mastline-plan 1\"\nvenue = \"Quarry Hall\"\nrevision = \"") < 100);
}

TEST_CASE("the same plan gives the same bytes", "[unit]") {
    const auto one = finished(), two = finished();
    CHECK(write_plan(one.venue, one.plan) == write_plan(two.venue, two.plan));
}

TEST_CASE("any change of the plan changes its revision", "[unit]") {
    const auto before = finished();
    const auto changed = [&](auto change) {
        auto small = finished();
        change(small);
        return revision_of(small.venue, small.plan) != before.plan.lineup.revision;
    };
    CHECK(changed([](auto& s) { s.plan.lineup.flows[0].dscp = 34; }));
    CHECK(changed([](auto& s) { s.plan.lineup.flows[1].components.pop_back(); }));
    CHECK(changed([](auto& s) { s.plan.assignment.homes[0].card = 1; }));
    CHECK(changed([](auto& s) { s.plan.signal.reach[0].lanes[0].margin = Gain::db(3.5); }));
    CHECK(changed([](auto& s) { s.plan.lineup.venue = "Quarry House"; }));
    CHECK_FALSE(changed([](auto& s) { s.plan.lineup.revision = "something else"; }));
}

TEST_CASE("a flow is written with class and genre of its channel", "[unit]") {
    const auto small = finished();
    const auto text = write_plan(small.venue, small.plan);
    CHECK(text.find("name = \"News\"\nclass = \"HD\"\ngenre = \"news\"\n") != std::string::npos);
    CHECK(count(text, "[[flow]]") == 2);
    CHECK(count(text, "[[flow.component]]") == 4);
}

TEST_CASE("findings, homes and addressing stand under planner", "[unit]") {
    auto small = finished();
    small.plan.findings.push_back({Severity::warning, "level.near-window", "ms-1.in",
                                   "the level is near the window's edge", "0.5 dB", "turn it up",
                                   {"venue.toml", 12, 1}});
    small.plan.assignment.unplaced = {1};
    const auto text = write_plan(small.venue, small.plan);
    CHECK(text.find("[[planner.finding]]\nseverity = \"warning\"\nid = \"level.near-window\"\n"
                    "subject = \"ms-1.in\"\nwhat = \"the level is near the window's edge\"\n"
                    "amount = \"0.5 dB\"\ncure = \"turn it up\"\nplace = \"venue.toml:12:1\"\n") !=
          std::string::npos);
    CHECK(text.find("[[planner.home]]\nchannel = \"5.1\"\ncopy = 1\nsource = \"news\"\ncard = \"A1\"\ninput = \"in1\"\n"
                    "carrier = \"w-1200\"\n") != std::string::npos);
    CHECK(text.find("[[planner.unplaced]]\nchannel = \"7\"\n") != std::string::npos);
}

TEST_CASE("a level is written to a millionth of a decibel with its limits", "[unit]") {
    auto small = finished();
    PortLevel level;
    level.port = {"ms-1", "in"};
    level.lane = {"west", LaneNumber{1}};
    level.low.nominal = Level::dbm(-26.1234567);
    level.low.worst_low = Level::dbm(-28);
    level.margin = Gain::db(1.5);
    small.plan.signal.levels.push_back(level);
    const auto text = write_plan(small.venue, small.plan);
    CHECK(text.find("port = \"ms-1.in\"") != std::string::npos);
    CHECK(text.find("nominal = \"-26.123457 dBm\", worst = [\"-28 dBm\", \"0 dBm\"]") !=
          std::string::npos);
    CHECK(text.find("margin = \"1.5 dB\"") != std::string::npos);
}

TEST_CASE("names from the venue cannot break out of the plan file", "[input]") {
    auto small = finished();
    const std::string nasty = "a\"\n[[flow]]\nchannel = \"9\"\x1b[31m\\\xff";
    small.plan.lineup.flows[0].service_name = nasty;
    small.plan.lineup.flows[0].parts = {nasty};
    small.plan.lineup.venue = nasty;
    const auto text = write_plan(small.venue, small.plan);
    Findings findings;
    const auto root = read_toml(text, "plan.toml", findings);
    REQUIRE(root);
    CHECK(count(text, "\n[[flow]]\n") == 2);
    CHECK(text.find('\x1b') == std::string::npos);
}
