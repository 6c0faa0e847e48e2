// SPDX-License-Identifier: Apache-2.0
// explain as its user meets it, and its JSON against the schema in the tree.
#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include "support/paths.hpp"
#include "support/program.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

namespace what_if_report_test {

namespace {

const std::string kDemo = MASTLINE_SOURCE_DIR "/lineups/quillwater-arena";

}  // namespace

TEST_CASE("explain names every channel of a lost card and a place for each", "[unit]") {
    TempFolder folder;
    const auto file = folder.file("what-if.json");
    const auto result = planner("explain " + kDemo + " --without A1 --json " + file);
    INFO(result.output);
    CHECK(result.status == 0);
    CHECK(result.output.find("Without card A1: ") == 0);
    const auto json = nlohmann::json::parse(read_text(file));
    CHECK(json["losses"] == nlohmann::json::array({{{"kind", "card"}, {"name", "A1"}}}));
    CHECK(json["channels"].size() > 5);
    for (const auto& c : json["channels"])
        CHECK(result.output.find("  " + c["channel"].get<std::string>() + " ") != std::string::npos);
    const auto faults = run_command("/usr/bin/python3 -m jsonschema -i '" + file + "' " MASTLINE_SOURCE_DIR
                                    "/planner/commands/what_if.schema.json 2>&1 | grep -v Deprecat | grep -v "
                                    "'jsonschema.cli import'");
    CHECK(faults.output == "");
}

TEST_CASE("a protected channel that stays dark is told by the exit status", "[unit]") {
    const auto one = planner("explain " + kDemo + " --without south-dish/1");
    INFO(one.output);
    CHECK(one.status == 1);
    CHECK(one.output.find("protected; dark: no other card receives carrier ") != std::string::npos);
}

TEST_CASE("explain says what it knows where a part is unknown", "[input]") {
    const auto result = planner("explain " + kDemo + " --without A11");
    CHECK(result.status == 2);
    CHECK(result.output.find("the plan rests on no part 'A11'; did you mean 'A1'?") != std::string::npos);
    CHECK(planner("explain " + kDemo).status == 2);
}

TEST_CASE("import writes the file whole or not at all", "[input]") {
    TempFolder folder;
    write_text(folder.file("list.csv"), "number,name\n1,One\n2,Two\n");
    write_text(folder.file("bad.csv"), "number,name\n1,Other\nx,Two\n");
    const auto into = folder.file("channels.toml");
    CHECK(planner("import " + folder.file("bad.csv") + " --into " + into).status == 2);
    CHECK_FALSE(std::filesystem::exists(into));
    REQUIRE(planner("import " + folder.file("list.csv") + " --into " + into).status == 0);
    const auto before = read_text(into);
    CHECK(planner("import " + folder.file("bad.csv") + " --into " + into).status == 2);
    CHECK(read_text(into) == before);
    CHECK(planner("import " + folder.file("none.csv") + " --into " + into).status == 2);
}

}  // namespace what_if_report_test
