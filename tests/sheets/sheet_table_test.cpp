// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/sheet_table.hpp"

#include <catch2/catch.hpp>

using namespace mastline;

namespace {

SheetTable small_table() {
    SheetTable table{"t", "Cables & <more>", {{"Label"}, {"Level", "dBm", true}}, {}};
    Cell level = number_cell(-26.04, 1);
    level.fit = Fit::out;
    table.rows.push_back({"row-1", {link_cell("W\"1\"", "p-dev-3"), level}});
    table.rows.push_back({"", {text_cell("=cmd|'/c'!A1"), Cell{}}});
    return table;
}

}  // namespace

TEST_CASE("a table as CSV has units in the header, numbers as numbers and quoted quotes",
          "[outside]") {
    // RFC 4180: CRLF after each record (2.1), fields with quotes enclosed in quotes and doubled
    // (2.7).
    CHECK(to_csv(small_table()) ==
          "Label,Level (dBm)\r\n"
          "\"W\"\"1\"\"\",-26.0\r\n"
          "'=cmd|'/c'!A1,\r\n");
}

TEST_CASE("a table as HTML escapes its texts, marks its numbers and links its rows", "[unit]") {
    const std::string html = to_html(small_table());
    CHECK(html.find("<caption>Cables &amp; &lt;more&gt;</caption>") != std::string::npos);
    CHECK(html.find("<th scope=\"col\" class=\"num\">Level (dBm)</th>") != std::string::npos);
    CHECK(html.find("<tr id=\"row-1\"><td><a href=\"#p-dev-3\">W&quot;1&quot;</a></td>"
                    "<td class=\"num out\">\u221226.0</td></tr>") != std::string::npos);
}
