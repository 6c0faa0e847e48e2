// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "support/paths.hpp"
#include "support/program.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

TEST_CASE("the planner's manual page is set without a warning", "[outside]") {
    const auto result = run_command("LC_ALL=C.UTF-8 man --warnings -E UTF-8 -l " MASTLINE_SOURCE_DIR
                                    "/planner/mastline-planner.1 2>&1 >/dev/null");
    CHECK(result.status == 0);
    CHECK(result.output.empty());
}

TEST_CASE("the planner's manual page names every command and option of its help", "[unit]") {
    std::string page = read_text(MASTLINE_SOURCE_DIR "/planner/mastline-planner.1");
    for (auto at = page.find('\\'); at != std::string::npos; at = page.find('\\', at)) page.erase(at, 1);
    for (const std::string word : {"check", "build", "new", "reference", "--json", "--out", "--keep",
                                   "--today", "--help", "--version"}) {
        INFO(word);
        CHECK(page.find(word) != std::string::npos);
    }
    for (const std::string command : {"check", "build", "new", "reference"}) {
        const auto help = planner(command + " --help").output;
        for (auto at = help.find("  --"); at != std::string::npos; at = help.find("  --", at + 1)) {
            const auto option = help.substr(at + 2, help.find_first_of(" ,\n", at + 2) - at - 2);
            INFO(option);
            CHECK(page.find(option) != std::string::npos);
        }
    }
}
