// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/plan/expectations.hpp"
#include "mastline/plan/kept_plan.hpp"
#include "mastline/plan/write_plan.hpp"
#include "mastline/venue/toml_file.hpp"
#include "support/small_plan.hpp"

using namespace mastline;
using namespace std::chrono;

namespace kept_plan_test {

namespace {

std::optional<KeptPlan> read(const std::string& text, Findings& findings) {
    const auto root = read_toml(text, "old.toml", findings);
    REQUIRE(root);
    return read_kept_plan(*root, findings);
}

test::SmallPlan planned() {
    auto small = test::small_plan();
    small.plan.addressing.resting = {{*parse_group("239.192.0.9"), sys_days(2026y / March / 1), "102", 2},
                                               {*parse_group("239.192.0.10"), sys_days(2026y / March / 1)}};
    small.plan.lineup.flows = expected_flows(small.venue, small.plan);
    small.plan.lineup.revision = revision_of(small.venue, small.plan);
    return small;
}

}  // namespace

TEST_CASE("homes, groups and resting groups of a plan are what the next plan keeps", "[unit]") {
    const auto small = planned();
    Findings findings;
    const auto kept = read(write_plan(small.venue, small.plan), findings);
    for (const auto& finding : findings) UNSCOPED_INFO(to_line(finding));
    REQUIRE(kept);
    REQUIRE(kept->homes.size() == 2);
    CHECK(kept->homes[0].number == ChannelNumber{5, 1});
    CHECK(kept->homes[0].source == "news");
    CHECK(kept->homes[0].card == "A1");
    CHECK_FALSE(kept->homes[0].encoder_input);
    CHECK(kept->homes[1].source == "stage");
    CHECK(kept->homes[1].encoder_input == 1);
    REQUIRE(kept->addresses.held.size() == 2);
    CHECK(kept->addresses.held[0].channel == "5.1");
    CHECK(to_text(kept->addresses.held[1].group) == "239.192.0.7");
    CHECK(kept->addresses.resting == small.plan.addressing.resting);
}

TEST_CASE("a file that is no plan of ours is not kept", "[input]") {
    Findings findings;
    CHECK_FALSE(read("schema = \"mastline-plan 2\"\nvenue = \"x\"\nrevision = \"1\"\n", findings));
    CHECK_FALSE(findings.empty());
}

TEST_CASE("faults in the planner's tables are told with their place", "[input]") {
    const auto small = planned();
    auto text = write_plan(small.venue, small.plan);
    const auto damage = [&](const std::string& from, const std::string& to) {
        const auto at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
    };
    damage("freed_on = \"2026-03-01\"", "freed_on = \"2026-02-30\"");
    damage("[[planner.home]]\nchannel = \"5.1\"", "[[planner.home]]\nchannel = \"five\"");
    Findings findings;
    CHECK_FALSE(read(text, findings));
    REQUIRE(findings.size() == 2);
    CHECK(findings[0].id == "plan.bad-number");
    CHECK(findings[1].id == "plan.bad-day");
    CHECK(findings[1].place.line > 0);
}

TEST_CASE("a day is written as the calendar has it", "[unit]") {
    CHECK(parse_day("2026-03-01") == sys_days(2026y / March / 1));
    CHECK(day_text(sys_days(2024y / February / 29)) == "2024-02-29");
    for (const std::string text : {"", "2026", "2026-3-1", "2026-02-29", "2026-13-01", "2026-01-00",
                                   "2026-01-011", "26-01-01", "2026/01/01", "0000-01-01", "2026-01-01 "}) {
        INFO(text);
        CHECK_FALSE(parse_day(text));
    }
}

}  // namespace kept_plan_test
