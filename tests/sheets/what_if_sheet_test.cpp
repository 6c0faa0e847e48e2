// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <catch2/catch.hpp>
#include <regex>

#include "mastline/change/what_if.hpp"
#include "planner/sheets/sheet.hpp"
#include "tests/support/demo_plan.hpp"

using namespace mastline;

namespace {

// Texts of the cells of each row of one table.
std::vector<std::vector<std::string>> rows_of(const std::string& html, const std::string& id) {
    const auto start = html.find("<tbody>", html.find("id=\"" + id + "\""));
    const std::string body = html.substr(start, html.find("</tbody>", start) - start);
    static const std::regex row("<tr[^>]*>(.*?)</tr>"), cell("<td[^>]*>(?:<a [^>]*>)?([^<]*)");
    std::vector<std::vector<std::string>> out;
    for (std::sregex_iterator r(body.begin(), body.end(), row), end; r != end; ++r) {
        const std::string cells = (*r)[1];
        out.emplace_back();
        for (std::sregex_iterator c(cells.begin(), cells.end(), cell); c != end; ++c)
            out.back().push_back((*c)[1]);
    }
    return out;
}

}  // namespace

TEST_CASE("the what-if sheet has a row for each card, chassis, lane and supply of the demo venue",
          "[unit]") {
    const auto [venue, plan] = sample::demo();
    const std::string body = what_if_sheet(PlanIndex(venue, plan)).body;
    const auto rows = rows_of(body, "what-if-list");
    std::map<std::string, int> kinds;
    for (const auto& row : rows) ++kinds[row[0]];
    CHECK(kinds["card"] == 7);  // the eighth carries nothing
    CHECK(kinds["chassis"] == 2);
    CHECK(kinds["lane"] == 5);
    CHECK(kinds["supply"] == 1);
    for (const auto& row : rows) {
        INFO(row[0] << " " << row[1]);
        // Hit channels go on, move or stay dark.
        CHECK(std::stoi(row[2]) == std::stoi(row[3]) + std::stoi(row[4]) + std::stoi(row[5]));
        // The venue's protection is against the loss of a card.
        if (row[0] == "card") CHECK(row[6] == "0");
    }
    // Without the dish's supply every channel of the four lanes is dark, and moving does not help.
    const auto supply = std::find_if(rows.begin(), rows.end(),
                                     [](const auto& row) { return row[0] == "supply"; });
    CHECK((*supply)[4] == "0");
    CHECK((*supply)[5] == (*supply)[2]);
    // Every channel of every card stands in the second table once.
    CHECK(rows_of(body, "what-if-channels").size() == plan.assignment.homes.size());
}

TEST_CASE("a plan that carries nothing has nothing to lose", "[unit]") {
    const auto [venue, plan] = sample::empty();
    CHECK(what_if_sheet(PlanIndex(venue, plan)).body.find("nothing can be lost") != std::string::npos);
}
