// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/text/toml_quotes.hpp"
#include "mastline/venue/toml_file.hpp"

using namespace mastline;

TEST_CASE("letters outside ASCII may stand in quotes and comments", "[unit]") {
    for (const auto* text :
         {"a = 'Grüße' # Übersicht\n", "\"Größe\" = 1\n", "a = \"\\\"ü\\\"\"\n", "a = '''\nü'ü''ü\n'''\n",
          "a = \"\"\"ü\"\" \\\"\"\"ü\"\"\"\n", "\xEF\xBB\xBF" "a = 1 # ü", "a = ['ü', # ü\n \"ü\"]\n", "a = \"\"\"ü\"\"\"\" # ü\n"}) {
        INFO(text);
        CHECK_FALSE(unquoted_non_ascii(text));
    }
}

TEST_CASE("a letter or blank outside the quotes is found with its place", "[input]") {
    const auto place = [](std::string_view text) {
        const auto at = unquoted_non_ascii(text);
        REQUIRE(at);
        return std::pair(at->line, at->column);
    };
    CHECK(place("größe = 1\n") == std::pair<std::size_t, std::size_t>(1, 3));
    CHECK(place("a = 'ü'\nb =\u00A05\n") == std::pair<std::size_t, std::size_t>(2, 4));
    CHECK(place("[ü]") == std::pair<std::size_t, std::size_t>(1, 2));
    CHECK(place("a = '''ü''' ü") == std::pair<std::size_t, std::size_t>(1, 13));
    Findings findings;
    CHECK_FALSE(read_toml("name = \u201Carena\u201D\n", "venue.toml", findings));
    REQUIRE(findings.size() == 1);
    CHECK(to_line(findings[0]) ==
          "venue.toml:1:8: error: file.not-toml: a letter or blank that TOML takes only in quotes; put the text or key "
          "in quotes, or write a plain blank");
}
