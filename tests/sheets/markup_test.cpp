// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/markup.hpp"

#include <catch2/catch.hpp>

using namespace mastline;

TEST_CASE("minus signs are set as print sets them and only in front", "[unit]") {
    CHECK(typographic("-26.0") == "\u221226.0");
    CHECK(typographic("26-1") == "26-1");
    CHECK(typographic("") == "");
}

TEST_CASE("wide characters take two columns of a fixed-width font", "[outside]") {
    // Unicode Standard Annex 11: U+4E2D is Wide, U+00E9 and U+2026 are not.
    CHECK(column_count("cafe") == 4);
    CHECK(column_count("caf\u00e9\u2026") == 5);
    CHECK(column_count("\u4e2d\u6587") == 4);
    CHECK(column_count("") == 0);
}

TEST_CASE("a text too long ends with an ellipsis and never in half a character", "[unit]") {
    CHECK(shortened("multiswitch", 11) == "multiswitch");
    CHECK(shortened("multiswitch", 6) == "multi\u2026");
    CHECK(shortened("\u4e2d\u6587\u4e2d", 5) == "\u4e2d\u6587\u2026");
    CHECK(shortened("\u4e2d\u6587\u4e2d", 4) == "\u4e2d\u2026");
    CHECK(column_count(shortened("\u00e9\u00e9\u00e9\u00e9", 3)) == 3);
}

TEST_CASE("text of a drawing is escaped where it is written", "[input]") {
    CHECK(svg_text(1, 2.25, "t", "<b>&") ==
          "<text x=\"1\" y=\"2.2\" class=\"t\">&lt;b&gt;&amp;</text>");
    CHECK(svg_text(1, 2, "", "a", "<i>") ==
          "<text x=\"1\" y=\"2\">a<title>&lt;i&gt;</title></text>");
}

TEST_CASE("counts are told in the right number", "[unit]") {
    CHECK(counted(1, "lane", "lanes") == "1 lane");
    CHECK(counted(0, "lane", "lanes") == "0 lanes");
}
