// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include "planner/commands/check_json.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/small_plan.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;

namespace check_json_test {

using Json = nlohmann::ordered_json;

namespace {

Findings some_findings() {
    return {{Severity::error, "level.above-window", "ms-1.in", "above the window", "10.0 dB",
             "add a pad", {"venue.toml", 41, 8}},
            {Severity::note, "network.plain", "", "a note without a place", "", "", {}},
            {Severity::warning, "file.whole", "", "about a whole file", "", "", {"venue.toml"}}};
}

PlanSummary some_summary() {
    auto small = test::small_plan();
    PortLevel level;
    level.port = {"ms-1", "in"};
    level.lane = {"west", LaneNumber{2}};
    level.margin = Gain::db(3.25);
    small.plan.signal.levels = {level};
    return summary_of(small.venue, small.plan);
}

// What the schema in the tree says of a document: empty when it fits.
std::string schema_faults(const std::string& document) {
    test::TempFolder folder;
    test::write_text(folder.file("check.json"), document);
    const auto result = test::run_command(
        "/usr/bin/python3 -m jsonschema -i '" + folder.file("check.json") +
        "' " MASTLINE_SOURCE_DIR "/planner/commands/check.schema.json 2>&1 | grep -v Deprecat");
    return result.output;
}

}  // namespace

TEST_CASE("check --json names schema, outcome, findings and plan", "[unit]") {
    const auto json = Json::parse(check_json("Quarry Hall", some_findings(), some_summary()));
    CHECK(json["schema"] == "mastline-check 1");
    CHECK(json["venue"] == "Quarry Hall");
    CHECK(json["outcome"] == "findings");
    REQUIRE(json["findings"].size() == 3);
    CHECK(json["findings"][0]["place"] == Json({{"file", "venue.toml"}, {"line", 41}, {"column", 8}}));
    CHECK(json["findings"][0]["amount"] == "10.0 dB");
    CHECK_FALSE(json["findings"][1].contains("place"));
    CHECK(json["findings"][2]["place"] == Json({{"file", "venue.toml"}}));
    CHECK(json["plan"]["channels"] == 2);
    CHECK(json["plan"]["cards_in_use"] == 2);
    CHECK(json["plan"]["cards_kept_idle"] == 0);
    CHECK(json["plan"]["least_margin"]["margin_db"] == 3.25);
    CHECK(json["plan"]["least_margin"]["port"] == "ms-1.in");
}

TEST_CASE("the outcome is good without errors and unusable without a plan", "[unit]") {
    const Findings warning{{Severity::warning, "a.b", "", "w", "", "", {}}};
    CHECK(Json::parse(check_json("", warning, some_summary()))["outcome"] == "good");
    const auto unusable = Json::parse(check_json("", some_findings(), std::nullopt));
    CHECK(unusable["outcome"] == "unusable");
    CHECK_FALSE(unusable.contains("plan"));
}

TEST_CASE("check --json fits its JSON Schema in all three outcomes", "[outside]") {
    CHECK(schema_faults(check_json("Quarry Hall", some_findings(), some_summary())) == "");
    CHECK(schema_faults(check_json("Quarry Hall", {}, PlanSummary{})) == "");
    CHECK(schema_faults(check_json("", some_findings(), std::nullopt)) == "");
}

TEST_CASE("the JSON Schema refuses what check does not write", "[outside]") {
    CHECK(schema_faults(R"({"schema":"mastline-check 2","venue":"","outcome":"good","findings":[]})") != "");
    CHECK(schema_faults(R"({"schema":"mastline-check 1","venue":"","findings":[]})") != "");
    CHECK(schema_faults(R"({"schema":"mastline-check 1","venue":"","outcome":"unusable",)"
                        R"("findings":[{"severity":"fatal","id":"a.b","what":"x"}]})") != "");
}

TEST_CASE("bytes that are no UTF-8 do not break the JSON", "[input]") {
    auto findings = some_findings();
    findings[0].what = "name \xff\x1b[2J \" \\";
    const auto text = check_json("\xfe", findings, std::nullopt);
    CHECK(text.find('\x1b') == std::string::npos);
    CHECK(schema_faults(text) == "");
}

}  // namespace check_json_test
