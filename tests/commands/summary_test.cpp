// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "planner/commands/report_findings.hpp"
#include "support/small_plan.hpp"

using namespace mastline;

TEST_CASE("the summary counts channels, cards in use, groups and links", "[unit]") {
    auto small = test::small_plan();
    small.venue.cards.push_back({.name = "A2"});
    small.venue.links.resize(1);
    CHECK(to_text(summary_of(small.venue, small.plan)) ==
          "2 channels on 2 of 3 cards, 2 groups, 1 link");
}

TEST_CASE("channels without a home and second carriages are told apart", "[unit]") {
    auto small = test::small_plan();
    test::add_carriage(small, {.channel = 0, .copy = 2, .card = 1}, "239.193.5.1");
    small.venue.channels.push_back(test::channel(9, 0, "Homeless"));
    CHECK(to_text(summary_of(small.venue, small.plan)) ==
          "2 of 3 channels on 2 of 2 cards, 3 groups, 0 links");
}

TEST_CASE("the least margin of all ports is named with its place", "[unit]") {
    auto small = test::small_plan();
    PortLevel level;
    level.lane = {"west", LaneNumber{2}};
    level.port = {"ms-1", "in"};
    level.margin = Gain::db(6);
    small.plan.signal.levels.push_back(level);
    level.port = {"ms-2", "in"};
    level.margin = Gain::db(-1.5);
    small.plan.signal.levels.push_back(level);
    level.margin.reset();
    small.plan.signal.levels.push_back(level);
    const auto text = to_text(summary_of(small.venue, small.plan));
    CHECK(text.find("; least margin -1.5 dB at ms-2.in, lane west/2") != std::string::npos);
}

TEST_CASE("the exit status tells unusable files from errors of the plan", "[unit]") {
    const Finding error{Severity::error, "a.b", "", "e", "", "", {}};
    const Finding warning{Severity::warning, "a.b", "", "w", "", "", {}};
    CHECK(status_of({warning}, true) == ExitStatus::good);
    CHECK(status_of({error}, true) == ExitStatus::findings);
    CHECK(status_of({error}, false) == ExitStatus::bad_input);
}
