// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/change/plan_difference.hpp"
#include "tests/support/demo_plan.hpp"

using namespace mastline;

TEST_CASE("a plan does not differ from itself", "[unit]") {
    const auto [venue, plan] = sample::demo();
    CHECK(plan_difference(venue, plan, venue, plan).nothing());
}

TEST_CASE("what changed by as much as people see is told, with both sides", "[unit]") {
    const auto [venue, plan] = sample::demo();
    Plan now = plan;
    now.signal.levels[3].low.nominal = now.signal.levels[3].low.nominal + Gain::db(2);
    now.signal.levels[4].high.nominal = now.signal.levels[4].high.nominal + Gain::db(0.01);
    now.network.links[0].worst_mix = now.network.links[0].limit + BitRate(1'000'000);
    now.findings.push_back({Severity::error, "load.above-limit", "link x", "too much", "1 Mbit/s", "", {"network.toml", 3, 1}});
    const std::size_t moved = now.assignment.homes[0].channel;
    now.assignment.homes[0].input = "in9";
    const auto d = plan_difference(venue, plan, venue, now);
    REQUIRE(d.levels.size() == 1);
    CHECK(d.levels[0].port == plan.signal.levels[3].port);
    CHECK((d.levels[0].now->low - d.levels[0].was->low).db() == Approx(2));
    REQUIRE(d.loads.size() == 1);
    CHECK(d.loads[0].was->fits());
    CHECK(!d.loads[0].now->fits());
    REQUIRE(d.homes.size() == 1);
    CHECK(d.homes[0].channel == to_text(venue.channels[moved].number));
    CHECK(d.homes[0].now->card_input.ends_with(".in9"));
    CHECK(d.homes[0].was->address == d.homes[0].now->address);
    CHECK((d.fresh.size() == 1 && d.gone.empty() && d.settings.empty()));
}

TEST_CASE("a finding that only moved to another line is neither gone nor fresh", "[unit]") {
    const auto [venue, plan] = sample::demo();
    Plan now = plan;
    REQUIRE(!now.findings.empty());
    now.findings[0].place.line += 7;
    CHECK(plan_difference(venue, plan, venue, now).nothing());
    now.findings[0].amount = "another";
    const auto d = plan_difference(venue, plan, venue, now);
    CHECK((d.gone.size() == 1 && d.fresh.size() == 1));
}

TEST_CASE("what is on one side alone stands there alone", "[unit]") {
    const auto [venue, plan] = sample::demo();
    Plan now = plan;
    now.signal.levels.pop_back();
    now.network.links.pop_back();
    const auto forth = plan_difference(venue, plan, venue, now), back = plan_difference(venue, now, venue, plan);
    REQUIRE((forth.levels.size() == 1 && back.levels.size() == 1 && forth.loads.size() == 1 && back.loads.size() == 1));
    CHECK((forth.levels[0].was && !forth.levels[0].now && !back.levels[0].was && back.levels[0].now));
    CHECK((forth.loads[0].was && !forth.loads[0].now && !back.loads[0].was && back.loads[0].now));
}
