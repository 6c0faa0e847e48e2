// SPDX-License-Identifier: Apache-2.0
// The venues that come with the programs, as their readers meet them.
#include <catch2/catch.hpp>

#include <filesystem>

#include "support/paths.hpp"
#include "support/program.hpp"

using mastline::test::planner;

namespace lineups_test {

namespace {

const std::string kLineups = MASTLINE_SOURCE_DIR "/lineups/";

}  // namespace

TEST_CASE("every venue of the lineups is planned without an error or a warning", "[unit]") {
    int venues = 0;
    for (const auto& entry : std::filesystem::directory_iterator(kLineups)) {
        if (!std::filesystem::exists(entry.path() / "venue.toml")) continue;
        ++venues;
        const auto checked = planner("check " + entry.path().string());
        INFO(checked.output);
        CHECK(checked.status == 0);
        CHECK(checked.output.find("0 errors, 0 warnings") != std::string::npos);
    }
    CHECK(venues >= 2);
}

TEST_CASE("the hospital shows everything that is protected without either of its buildings", "[unit]") {
    for (const std::string chassis : {"main", "ward"}) {
        const auto lost = planner("explain " + kLineups + "sallow-hill-hospital --without " + chassis);
        INFO(lost.output);
        CHECK(lost.status == 0);
        CHECK(lost.output.find("0 stay dark") != std::string::npos);
    }
}

}  // namespace lineups_test
