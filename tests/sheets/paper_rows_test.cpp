// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/paper_rows.hpp"

#include <catch2/catch.hpp>

using namespace mastline;

namespace paper_rows_test {

namespace {

// `count` rows of one kind; row i has rank i.
SheetTable table_of(std::size_t count, std::vector<RowWeight>& weights, const std::string& kind) {
    SheetTable out{"list", "Rows", {{"Name"}}, {}};
    for (std::size_t i = 0; i < count; ++i) {
        out.rows.push_back({"", {text_cell("row " + std::to_string(i))}});
        weights.push_back({kind, static_cast<double>(i), false});
    }
    return out;
}

std::size_t on_paper(const SheetTable& table) {
    return static_cast<std::size_t>(
        std::count_if(table.rows.begin(), table.rows.end(), [](const Row& r) { return !r.on_screen_only; }));
}

}  // namespace

TEST_CASE("a table of eighty rows goes on paper whole", "[unit]") {
    std::vector<RowWeight> weights;
    auto table = table_of(80, weights, "switch");
    choose_for_paper(table, weights, "the largest", "");
    CHECK(on_paper(table) == 80);
    CHECK(table.left_out.empty());
    CHECK(to_html(table).find("class=\"screen\"") == std::string::npos);
    CHECK(to_html(table).find("class=\"paper\"") == std::string::npos);
}

TEST_CASE("of a long table the greatest and all that matter go on paper, the others stay on screen", "[unit]") {
    std::vector<RowWeight> weights;
    auto table = table_of(1000, weights, "switch");
    weights[3].matters = true;
    choose_for_paper(table, weights, "the largest", "loads.csv");
    CHECK(on_paper(table) == 41);
    CHECK_FALSE(table.rows[3].on_screen_only);
    CHECK_FALSE(table.rows[999].on_screen_only);
    CHECK_FALSE(table.rows[960].on_screen_only);
    CHECK(table.rows[959].on_screen_only);
    CHECK(table.left_out == "Left out on paper: 959 switches. Printed are the largest. All stand on the screen and in loads.csv.");
    const auto html = to_html(table);
    CHECK(html.find("<tr class=\"screen\"><td>row 4</td>") != std::string::npos);
    CHECK(html.find("<p class=\"paper\">Left out on paper: 959 switches.") != std::string::npos);
    CHECK(to_csv(table).find("row 4\r\n") != std::string::npos);
}

TEST_CASE("each kind of rows is chosen by itself", "[unit]") {
    std::vector<RowWeight> weights;
    auto table = table_of(100, weights, "link direction");
    const auto cards = table_of(10, weights, "card");
    table.rows.insert(table.rows.end(), cards.rows.begin(), cards.rows.end());
    choose_for_paper(table, weights, "the largest", "");
    CHECK(on_paper(table) == 50);
    CHECK(table.left_out == "Left out on paper: 60 link directions. Printed are the largest. All stand on the screen.");
}

}  // namespace paper_rows_test
