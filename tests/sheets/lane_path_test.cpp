// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/lane_path.hpp"

#include <catch2/catch.hpp>

#include "planner/sheets/level_text.hpp"
#include "tests/support/sample_plan.hpp"

using namespace mastline;

namespace {

std::string ports_of(const LanePath& path) {
    std::string out;
    for (const auto* point : path.points) out += (out.empty() ? "" : " ") + to_text(point->port);
    return out;
}

}  // namespace

TEST_CASE("a lane's path names every port from the feed to the card", "[unit]") {
    const auto [venue, plan] = sample::make();
    const PlanIndex index(venue, plan);
    const auto path = lane_path(index, {"mast", {1}}, {"A-1", "in1"});
    CHECK(
        ports_of(path) ==
        "mast.out sa-2.in sa-2.out la-2.in la-2.out sp-2.in sp-2.out1 ms-1.ter ms-1.out1 A-1.in1");
}

TEST_CASE("each lane is shown to the input where its margin is least", "[unit]") {
    const auto [venue, plan] = sample::make();
    const PlanIndex index(venue, plan);
    const auto paths = tightest_paths(index);
    REQUIRE(paths.size() == 5);
    for (const auto& path : paths) {
        INFO(to_text(path.lane));
        REQUIRE_FALSE(path.points.empty());
        CHECK(path.points.front()->port.device == path.lane.feed);
        for (const auto& reach : plan.signal.reach)
            for (const auto& lane : reach.lanes)
                if (lane.lane == path.lane) CHECK(*path.points.back()->margin <= lane.margin);
    }
}

TEST_CASE("a lane that reaches no card has a path without points", "[unit]") {
    auto [venue, plan] = sample::make();
    plan.signal.reach.clear();
    for (const auto& path : tightest_paths(PlanIndex(venue, plan))) CHECK(path.points.empty());
}

TEST_CASE("a path through devices that feed each other in a circle ends", "[input]") {
    Venue venue;
    Plan plan;
    for (const auto* name : {"a", "b"}) {
        Device device;
        device.name = name;
        device.paths = {{"in", "out", {}, {}}};
        venue.devices.push_back(device);
        for (const auto* port : {"in", "out"})
            plan.signal.levels.push_back(
                {.port = {name, port}, .conductor = {1}, .lane = {"west", {1}}});
    }
    venue.runs.push_back(
        {.name = "1", .from = {"a", "out"}, .to = {"b", "in"}, .lanes = {{{1}, {1}}}});
    venue.runs.push_back(
        {.name = "2", .from = {"b", "out"}, .to = {"a", "in"}, .lanes = {{{1}, {1}}}});
    const auto path = lane_path(PlanIndex(venue, plan), {"west", {1}}, {"a", "in"});
    CHECK(path.points.size() <= 10);
}

TEST_CASE("margins say in words whether they suffice", "[unit]") {
    CHECK(margin_text(Gain::db(4.1)) == "margin 4.1");
    CHECK(margin_text(Gain::db(1.2)) == "margin 1.2 near");
    CHECK(margin_text(Gain::db(-10)) == "margin \u221210.0 OUT");
    CHECK(margin_text(std::nullopt) == "");
}
