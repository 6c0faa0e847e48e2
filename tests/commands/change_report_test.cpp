// SPDX-License-Identifier: Apache-2.0
// compare as its user meets it, its JSON against the schema in the tree, and odd texts in it.
#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include "planner/commands/change_report.hpp"
#include "support/paths.hpp"
#include "support/program.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace change_report_test {

namespace {

const std::string kDemo = MASTLINE_SOURCE_DIR "/lineups/quillwater-arena";

std::string schema_faults(const std::string& document) {
    return run_command("/usr/bin/python3 -m jsonschema -i '" + document + "' " MASTLINE_SOURCE_DIR
                       "/planner/commands/change.schema.json 2>&1 | grep -v Deprecat | grep -v 'jsonschema.cli import'")
        .output;
}

}  // namespace

TEST_CASE("compare finds what was changed between two plans of the demo venue", "[unit]") {
    TempFolder folder;
    const auto venue = folder.file("venue");
    REQUIRE(run_command("cp -r " + kDemo + " " + venue).status == 0);
    REQUIRE(planner("build " + venue + " --out " + folder.file("old")).status == 0);
    std::string channels = read_text(venue + "/channels.csv");
    const auto at = channels.find("\n104,");
    REQUIRE(at != std::string::npos);
    channels.erase(at, channels.find('\n', at + 1) - at);
    write_text(venue + "/channels.csv", channels);
    REQUIRE(planner("build " + venue + " --out " + folder.file("new") + " --keep " + folder.file("old/plan.toml")).status == 0);
    const auto result = planner("compare " + folder.file("old") + " " + folder.file("new/plan.toml") + " --json " +
                                folder.file("change.json"));
    INFO(result.output);
    CHECK(result.status == 0);
    CHECK(result.output.find("59 stay as they are; 0 move to another card, 0 get another address, 0 are new, 1 are gone") !=
          std::string::npos);
    CHECK(result.output.find("[ ]   1. stop   104  on ") != std::string::npos);
    CHECK(schema_faults(folder.file("change.json")) == "");
    CHECK(planner("compare " + folder.file("old") + " " + folder.file("old")).output.find("60 stay as they are; 0 move") !=
          std::string::npos);
}

TEST_CASE("compare refuses what is no plan", "[input]") {
    TempFolder folder;
    write_text(folder.file("broken.toml"), "schema = \"mastline-plan 1\"\nflow = 3\n");
    const auto missing = planner("compare " + folder.file("none.toml") + " " + folder.file("broken.toml"));
    CHECK(missing.status == 2);
    CHECK(missing.output.find("there is no plan at") != std::string::npos);
    const auto broken = planner("compare " + folder.file("broken.toml") + " " + folder.file("broken.toml"));
    CHECK(broken.status == 2);
    CHECK(broken.output.find("broken.toml:2:") != std::string::npos);
}

TEST_CASE("names out of a plan cannot harm a terminal or the JSON", "[unit]") {
    ChangeOrder order;
    order.venue = "Hall\x1b[31m\n";
    order.changes.push_back({"101", 1, "Evil\x1b]0;x\x07\u202E name", {"name \x1b[2J -> b"}, false, false, Notice::nothing});
    order.steps.push_back({StepKind::set, 0, "A1\n", {*parse_group("239.192.1.1"), UdpPort{5004}}, "note\x1b"});
    const auto text = change_text(order);
    CHECK(text.find('\x1b') == std::string::npos);
    CHECK(text.find('\x07') == std::string::npos);
    CHECK(text.find("\u202E") == std::string::npos);
    CHECK(nlohmann::json::parse(change_json(order))["changes"][0]["notice"] == "nothing");
}

}  // namespace change_report_test
