// SPDX-License-Identifier: Apache-2.0
#include "mastline/findings/finding.hpp"

#include <catch2/catch.hpp>

using namespace mastline;

TEST_CASE("a finding is one line with place, severity, id, subject, amount and cure", "[unit]") {
    const Finding f{Severity::error, "level.above-window", "ms-1.in lane 3", "-20.0 dBm is too much",
                    "10.0 dB", "insert a pad of 10 dB", {"venue.toml", 41, 8}};
    CHECK(to_line(f) ==
          "venue.toml:41:8: error: level.above-window: ms-1.in lane 3: -20.0 dBm is too much (10.0 "
          "dB); insert a pad of 10 dB");
    CHECK(to_line({Severity::note, "a.b", "", "all is well", "", "", {}}) == "note: a.b: all is well");
}

TEST_CASE("findings are listed worst first, then by id and place", "[unit]") {
    Findings all{{Severity::note, "a", "", "", "", "", {"f", 1, 1}},
                 {Severity::error, "b", "", "", "", "", {"f", 9, 1}},
                 {Severity::error, "b", "", "", "", "", {"f", 2, 1}},
                 {Severity::warning, "a", "", "", "", "", {}}};
    sort_findings(all);
    CHECK(all[0].place.line == 2);
    CHECK(all[1].place.line == 9);
    CHECK(all[2].severity == Severity::warning);
    CHECK(has_errors(all));
    all.erase(all.begin(), all.begin() + 2);
    CHECK_FALSE(has_errors(all));
}

TEST_CASE("a place shows line and column only where there are any", "[unit]") {
    CHECK(to_text(Place{"a.toml", 3, 7}) == "a.toml:3:7");
    CHECK(to_text(Place{"a.toml", 3, 0}) == "a.toml:3");
    CHECK(to_text(Place{"a.toml", 0, 0}) == "a.toml");
}
