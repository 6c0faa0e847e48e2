// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

namespace compare_test {

using Json = nlohmann::json;

namespace {

const std::string kCompare = MASTLINE_BINARY_DIR "/probe/mastline-probe compare ";

Json verdict(const std::string& channel, const std::string& failed) {
    Json checks = {{{"id", "flow.arrival"}, {"outcome", "passed"}, {"found", "10 datagrams"}}};
    if (!failed.empty()) checks.push_back({{"id", failed}, {"outcome", "failed"}, {"found", "3 of them"}});
    return {{"channel", channel}, {"copy", 1}, {"name", "Channel " + channel}, {"outcome", failed.empty() ? "passed" : "failed"}, {"checks", checks}};
}

Json verification(const std::vector<Json>& verdicts) {
    return {{"schema", "mastline-verification 1"}, {"venue", "Hall"}, {"revision", "a"}, {"where", "interface x"}, {"verdicts", verdicts}};
}

}  // namespace

TEST_CASE("a comparison tells broken, still failed, repaired, removed and added channels", "[unit]") {
    const TempFolder folder;
    write_text(folder.file("before"), verification({verdict("1", ""), verdict("2", "flow.loss"), verdict("3", "flow.loss"),
                                                    verdict("4", ""), verdict("5", "")}).dump());
    write_text(folder.file("after"), verification({verdict("1", "flow.dscp"), verdict("2", ""), verdict("3", "flow.order"),
                                                   verdict("5", ""), verdict("6", "")}).dump());
    const auto result = run_command(kCompare + folder.file("before") + " " + folder.file("after") + " --json " + folder.file("out") + " 2>&1");
    INFO(result.output);
    CHECK(result.status == 1);
    CHECK(result.output.find("1 broken, 1 still-failed, 1 removed, 1 added, 1 repaired, 1 still-right") != std::string::npos);
    CHECK(result.output.find("broken        1 Channel 1: flow.dscp: 3 of them\n") != std::string::npos);
    CHECK(result.output.find("still-failed  3 Channel 3: flow.order: 3 of them; no longer flow.loss\n") != std::string::npos);
    CHECK(result.output.find("repaired      2 Channel 2: no longer flow.loss\n") != std::string::npos);
    const auto out = Json::parse(read_text(folder.file("out")));
    std::vector<std::string> turns;
    for (const auto& c : out["channels"]) turns.push_back(c["channel"].get<std::string>() + " " + c["turn"].get<std::string>());
    CHECK(turns == std::vector<std::string>{"1 broken", "3 still-failed", "4 removed", "6 added", "2 repaired", "5 still-right"});
    CHECK(out["channels"][1]["newly_failed"] == Json({"flow.order"}));
    CHECK(out["channels"][1]["no_longer_failed"] == Json({"flow.loss"}));
    const auto valid = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/report/check_schema.py " + folder.file("out") +
                                   " " MASTLINE_SOURCE_DIR "/probe/report/comparison.schema.json 2>&1");
    INFO(valid.output);
    CHECK(valid.status == 0);
    CHECK(run_command(kCompare + folder.file("before") + " " + folder.file("before")).status == 0);
}

TEST_CASE("the page of a comparison has the channels worst first, harmless and accessible, the unchanged ones named", "[browser]") {
    const TempFolder folder;
    auto harmful = verdict("7", "flow.loss");
    harmful["name"] = "<script>alert(1)</script>\u202e\n";
    harmful["checks"][1]["found"] = std::string(160, 'x');
    write_text(folder.file("before"), verification({verdict("1", ""), verdict("2", "flow.loss"), verdict("5", ""), verdict("7", "")}).dump());
    write_text(folder.file("after"), verification({verdict("1", "flow.dscp"), verdict("2", ""), verdict("5", ""), harmful}).dump());
    const auto made = run_command(kCompare + folder.file("before") + " " + folder.file("after") + " --html " + folder.file("page.html") + " 2>&1");
    INFO(made.output);
    REQUIRE(made.status == 1);
    const auto page = read_text(folder.file("page.html"));
    CHECK(page.find("2 broken, 1 repaired, 1 still-right") != std::string::npos);
    const auto broken = page.find("\u2717 broken"), repaired = page.find("\u2713 repaired"), unchanged = page.find("Right before and after</h2>\n<p>5</p>");
    CHECK(broken < repaired);
    CHECK(repaired < unchanged);
    CHECK(unchanged != std::string::npos);
    CHECK(page.find("<script") == std::string::npos);
    CHECK(page.find("\u202e") == std::string::npos);
    for (const std::string view : {"light", "dark"}) {
        const auto looked = run_command("timeout 110 node " MASTLINE_SOURCE_DIR "/tests/browser/axe.mjs " + view + " " + folder.file("page.html") + " 2>&1");
        INFO(looked.output.substr(0, 3000));
        REQUIRE(looked.status == 0);
        const auto seen = Json::parse(looked.output);
        CHECK(seen[0]["faults"].empty());
        CHECK(seen[0]["passes"].get<int>() > 8);
        CHECK(seen[0]["violations"].empty());
    }
}

TEST_CASE("a comparison refuses what is no verification, both files at once", "[input]") {
    const TempFolder folder;
    write_text(folder.file("broken"), "{\n  \"schema\": ,\n}");
    write_text(folder.file("other"), "{\"schema\": \"mastline-reading 1\"}");
    const auto result = run_command(kCompare + folder.file("broken") + " " + folder.file("other") + " 2>&1");
    INFO(result.output);
    CHECK(result.status == 2);
    CHECK(result.output.find("line 2, column 13") != std::string::npos);
    CHECK(result.output.find("schema is not \"mastline-verification 1\"") != std::string::npos);
}

}  // namespace compare_test
