// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "planner/sheets/level_curves.hpp"
#include "planner/sheets/level_text.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"
#include "tests/support/sample_plan.hpp"

using namespace mastline;

namespace ladder_sheet_test {

namespace {

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::size_t count_of(const std::string& text, const std::string& part) {
    std::size_t count = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
    return count;
}

}  // namespace

TEST_CASE("optical power is no rung of a level ladder and breaks its lines", "[unit]") {
    auto [venue, plan] = sample::make();
    const std::string before = ladder_sheet(PlanIndex(venue, plan)).body;
    for (auto& level : plan.signal.levels) {
        const bool sent = level.port == PortRef{"pi-1", "out"};
        if (!sent && level.port != PortRef{"la-1", "in"}) continue;
        level.optical = true;
        for (auto* edge : {&level.low, &level.high})
            edge->nominal = edge->worst_low = edge->worst_high = Level::dbm(sent ? 47.3 : 44.1);
    }
    const PlanIndex index(venue, plan);
    const std::string after = ladder_sheet(index).body;
    // The scale is that of the RF levels: no grid line near 47 dBm.
    CHECK_FALSE(has(after, ">50</text>"));
    // Four satellite lanes have their light told below, once at each end.
    CHECK(count_of(after, ">light</text>") == 4);
    CHECK(count_of(after, ">47.3</text>") == 4);
    CHECK(count_of(after, ">44.1</text>") == 4);
    CHECK(count_of(before, ">light</text>") == 0);
    // The low edge's line of each such lane begins anew behind the light.
    const auto path = after.substr(after.find("class=\"edge low\" d=\""), 400);
    CHECK(count_of(path.substr(0, path.find("\"/>")), "M") == 2);
    CHECK(level_pair(index.levels({"pi-1", "out"}).first(1)) == "light 47.3");
}

TEST_CASE("a lane's level over frequency has its edges and every carrier in use", "[unit]") {
    auto [venue, plan] = sample::make();
    for (auto& level : plan.signal.levels) {
        LevelRange carrier = level.low;
        carrier.at = frequency_of_megahertz(1550);
        carrier.nominal = level.low.nominal - Gain::db(1);
        level.carriers = {carrier};
        level.carrier_names = {"c-01"};
    }
    const auto paths = tightest_paths(PlanIndex(venue, plan));
    const std::string figures = level_curves(paths);
    CHECK(count_of(figures, "<figure") == 5);
    CHECK(count_of(figures, "class=\"whisker\"") == 5 * 2 * 3);
    CHECK(has(figures, ">950</text>"));
    CHECK(has(figures, ">2150 MHz</text>"));
    CHECK(level_curves({}).empty());
}

TEST_CASE("noise is told for each carrier at the card input where it is least", "[unit]") {
    auto [venue, plan] = sample::make();
    plan.signal.noise = {{{"A-1", "in1"}, {"west", {1}}, "c-01", Gain::db(12), Gain::db(6.6), Gain::db(5.4)},
                         {{"A-2", "in1"}, {"west", {1}}, "c-01", Gain::db(8), Gain::db(6.6), Gain::db(1.4)},
                         {{"A-2", "in1"}, {"west", {2}}, "c-02", Gain::db(6), Gain::db(6.6), Gain::db(-0.6)}};
    const auto table = worst_noise_table(PlanIndex(venue, plan));
    REQUIRE(table.rows.size() == 2);
    CHECK(table.rows[0].cells[2].text == "A-2.in1");
    CHECK(table.rows[0].cells[3].number == 8.0);
    CHECK(table.rows[0].cells[5].fit == Fit::near);
    CHECK(table.rows[0].cells[6].number == 2.0);
    CHECK(table.rows[1].cells[5].fit == Fit::out);
    CHECK(noise_table(PlanIndex(venue, plan)).rows.size() == 3);
}

}  // namespace ladder_sheet_test
