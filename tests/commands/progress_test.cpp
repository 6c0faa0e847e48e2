// SPDX-License-Identifier: Apache-2.0
#include "mastline/text/progress.hpp"

#include <catch2/catch.hpp>

#include "planner/commands/plan_progress.hpp"

using namespace mastline;
using namespace std::chrono_literals;

TEST_CASE("progress tells what has passed and what is left, and never is wider than the terminal", "[unit]") {
    CHECK(time_line(4400ms, 10s, "1200 datagrams", 80) == "[#################.......................] 4 of 10 s, 6 s left, 1200 datagrams");
    CHECK(time_line(0s, 10s, "", 80).ends_with("] 0 of 10 s, 10 s left"));
    CHECK(time_line(11s, 10s, "", 80).ends_with("] 10 of 10 s, 0 s left"));
    for (const std::size_t width : {40U, 60U, 160U})
        for (const auto done : {0s, 59s, 120s}) CHECK(time_line(done, 120s, "123456789012 datagrams", width).size() < width);
}

TEST_CASE("how long a file will still take follows from how long its first part took", "[unit]") {
    CHECK(bytes_line(1'000'000'000, 4'000'000'000, 2s, 80) == "[##########..............................] 1.00 of 4.00 GB, about 6 s left");
    CHECK(bytes_line(5'000'000, 10'000'000, 3s, 80).ends_with(" 5 of 10 MB, about 3 s left"));
    CHECK(bytes_line(1, 10'000'000, 3s, 80).ends_with(" 0 of 10 MB"));  // too little to tell from
    CHECK(bytes_line(7'000'000, 0, 3s, 80) == "7 MB, 3 s");
    for (const std::size_t width : {40U, 160U}) CHECK(bytes_line(1, 9'999'999'999'999, 99999s, width).size() < width);
}

TEST_CASE("a plan that is waited for tells its step, and what is left once a step is done", "[unit]") {
    CHECK(stage_line(PlanStage::levels, 0s, 2s, true, 80).ends_with("] levels, 2 s"));
    const auto late = stage_line(PlanStage::files, 4s, 5s, true, 80);
    INFO(late);
    CHECK(late.find("] sheets and lists, 5 s, about ") != std::string::npos);
    CHECK(stage_line(PlanStage::cards, 10ms, 60s, true, 80).ends_with("] cards, 60 s"));  // longer than its share: nothing is promised
    for (const auto work : {PlanStage::levels, PlanStage::cards, PlanStage::addresses, PlanStage::loads, PlanStage::files})
        CHECK(stage_line(work, 3s, 4s, false, 40).size() < 40);
}

TEST_CASE("work that tells its part done is expected to go on as it went", "[unit]") {
    CHECK(part_line("plans", 0, 0s, 2s, 1, 80) == "[........................................] plans, 2 s");
    CHECK(part_line("plans", 0.5, 3s, 4s, 1, 80).ends_with("] plans, 4 s, about 2 s left"));
    CHECK(part_line("plans", 0.5, 3s, 3s, 1, 80).starts_with("[####################....................]"));
    CHECK(part_line("plans", 0.5, 3s, 9s, 1, 80).ends_with("] plans, 9 s"));  // later than that: nothing is promised
}
