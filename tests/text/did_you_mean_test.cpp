// SPDX-License-Identifier: Apache-2.0
#include "mastline/text/did_you_mean.hpp"

#include <catch2/catch.hpp>

using namespace mastline;

TEST_CASE("a mistyped word finds its neighbour", "[unit]") {
    const std::vector<std::string> kinds{"splitter", "tap", "amplifier", "multiswitch"};
    CHECK(suggestion("spliter", kinds) == "did you mean 'splitter'?");
    CHECK(suggestion("amplifeir", kinds) == "did you mean 'amplifier'?");
    CHECK(suggestion("tpa", kinds) == "did you mean 'tap'?");
}

TEST_CASE("a word near nothing lists what is known", "[unit]") {
    const std::vector<std::string> kinds{"splitter", "tap"};
    CHECK(suggestion("lighthouse", kinds) == "known: splitter, tap");
    CHECK(suggestion("x", std::vector<std::string>{}) == "none is known");
}

TEST_CASE("the distance counts a swap of neighbours once", "[unit]") {
    CHECK(edit_distance("tap", "tpa") == 1);
    CHECK(edit_distance("", "abc") == 3);
    CHECK(edit_distance("kitten", "sitting") == 3);
}
