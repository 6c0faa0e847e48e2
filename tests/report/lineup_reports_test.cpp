// SPDX-License-Identifier: Apache-2.0
// One lineup with a right, a failed and an unjudged channel, as every report tells it.
#include <pugixml.hpp>

#include <nlohmann/json.hpp>

#include "mastline/report/junit.hpp"
#include "mastline/report/lineup_json.hpp"
#include "mastline/report/page.hpp"
#include "mastline/report/terminal.hpp"
#include "mastline/stream/stream.hpp"
#include "mastline/verdict/querier.hpp"
#include "support/lines_of.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"
#include "verdict/seen.hpp"

using namespace mastline;
using namespace mastline::test;

namespace lineup_reports_test {

namespace {

LineupReport sample() {
    ExpectedLineup plan{"Hall <1> & \"more\"", "r1", {planned(12), planned(14), planned(15)}};
    plan.flows[1].name = "N\xC3\xA9ws \xE2\x80\xAE<script>";  // a bidirectional control, and markup
    plan.flows[0].parts = {"card:A1"};
    plan.flows[1].parts = {"card:A2"};
    LineupReport out;
    out.venue = plan.venue;
    out.revision = plan.revision;
    out.where = "interface eth0";
    out.watched = std::chrono::seconds(10);
    FlowObservation bad = right(plan.flows[1]);
    bad.rtp->lost = 3;
    out.observations = {right(plan.flows[0]), bad};
    for (auto& f : out.observations) f.stream->indicators = StreamMonitor().observe().indicators;
    out.verdicts = judge_all(plan, out.observations, ten_seconds());
    out.verdicts[2].checks = {{"flow.arrival", Outcome::not_judged, {}, {}, "too short"}};
    out.explanations = explain(out.verdicts);
    out.querier = QuerierJudgement{judge_querier({}, IpVersion::v4, ten_seconds()), {}};
    return out;
}

}  // namespace

TEST_CASE("the terminal report starts with the worst and ends with the count", "[unit]") {
    const auto lines = lines_of(terminal_lineup(sample(), {120, false, true}));
    CHECK(lines[0].find("verdict") == 0);
    CHECK(lines[1].find("FAILED") == 0);
    CHECK(lines[1].find("3 lost datagrams") != std::string::npos);
    CHECK(lines[2].find("unsure") == 0);
    CHECK(lines[3].find("right") == 0);
    const std::string all = terminal_lineup(sample(), {120, false, true});
    CHECK(all.find("1 of 3 channels are right, 1 failed, 1 could not be judged (watched 10.0 s on interface eth0)") !=
          std::string::npos);
    CHECK(all.find("What would explain it: card:A2: channel 114") != std::string::npos);
    CHECK(all.find("querier: not judged (no query yet; by default one comes every 125 s)") != std::string::npos);
}

TEST_CASE("terminal lines fit the width, and nothing from outside reaches the terminal raw", "[unit]") {
    for (const std::size_t width : {80U, 100U, 160U}) {
        const std::string text = terminal_lineup(sample(), {width, false, false});
        for (const auto& line : lines_of(text)) CHECK(line.size() <= width);
        for (const char c : text) CHECK((c == '\n' || (c >= 0x20 && c < 0x7F)));
    }
    CHECK(terminal_lineup(sample(), {80, false, true}).find("\xE2\x80\xAE") == std::string::npos);
}

TEST_CASE("colour is an addition to the words, never instead of them", "[unit]") {
    std::string coloured = terminal_lineup(sample(), {100, true, true});
    CHECK(coloured.find("\x1b[1;31mFAILED") != std::string::npos);
    for (auto at = coloured.find('\x1b'); at != std::string::npos; at = coloured.find('\x1b'))
        coloured.erase(at, coloured.find('m', at) - at + 1);
    CHECK(coloured == terminal_lineup(sample(), {100, false, true}));
}

TEST_CASE("the JUnit report counts and names what failed", "[unit]") {
    pugi::xml_document document;
    REQUIRE(document.load_string(junit_text(sample()).c_str()));
    const auto suite = document.child("testsuites").child("testsuite");
    CHECK(suite.attribute("tests").as_int() == 4);  // three channels and the querier
    CHECK(suite.attribute("failures").as_int() == 1);
    CHECK(suite.attribute("skipped").as_int() == 2);
    CHECK(std::string(suite.attribute("name").value()) == "Hall <1> & \"more\"");
    int failures = 0;
    for (const auto& test : suite.children("testcase"))
        if (const auto failure = test.child("failure")) {
            ++failures;
            CHECK(std::string(failure.attribute("type").value()) == "flow.loss");
        }
    CHECK(failures == 1);
}

TEST_CASE("the page is well formed, escaped and self-contained", "[unit]") {
    const std::string page = lineup_page(sample());
    CHECK(page.find("<script") == std::string::npos);
    CHECK(page.find("&lt;script&gt;") != std::string::npos);
    CHECK(page.find("http") == std::string::npos);
    CHECK(page.find("1 of 3 channels are right") != std::string::npos);
}

TEST_CASE("the JSON report is valid by its schema", "[outside]") {
    const TempFolder folder;
    write_text(folder.file("report.json"), json_text(lineup_json(sample())));
    FileReport file;
    file.name = "some.pcap";
    file.capture = FileReport::Capture{};
    file.capture->flows = sample().observations;
    write_text(folder.file("reading.json"), json_text(reading_json({file}, {sample()})));
    for (const auto& [document, schema] : {std::pair{"report.json", "verification.schema.json"},
                                           std::pair{"reading.json", "reading.schema.json"}}) {
        const auto result = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/report/check_schema.py " +
                                        folder.file(document) + " " MASTLINE_SOURCE_DIR "/probe/report/" + schema + " 2>&1");
        INFO(result.output);
        CHECK(result.status == 0);
    }
}

}  // namespace lineup_reports_test
