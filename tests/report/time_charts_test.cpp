// SPDX-License-Identifier: Apache-2.0
// What a verification tells of time: the small charts and the timeline.
#include "mastline/report/page.hpp"
#include "probe/report/time_charts.hpp"
#include "support/browser.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"
#include "verdict/seen.hpp"

#include <nlohmann/json.hpp>

#include <regex>
#include <sstream>

using namespace mastline;
using namespace mastline::test;
using namespace std::chrono_literals;

namespace time_charts_test {

namespace {

constexpr Duration kBegan = 1'700'000'000s + 100ms;

// Ten seconds at 8 Mbit/s in cells of 250 ms; `change` edits the cells.
CourseObservation course(const std::function<void(std::vector<CourseCell>&)>& change = {}) {
    CourseObservation out{1'700'000'000s, 250ms, std::vector<CourseCell>(41)};
    for (auto& cell : out.cells) cell.bytes = 250'000, cell.longest_gap = 2ms;
    for (std::size_t i = 4; i < out.cells.size(); i += 4) out.cells[i].delay_factor = 3ms;
    if (change) change(out.cells);
    return out;
}

void fail(CourseCell& cell, FlowFault kind) {
    cell.faults += 1;
    cell.kinds.add(kind);
}

// Channel 112 is right; 113 and 114 lose datagrams at 2.0 s, 114 is silent from 5 to 6 s; 115 never comes.
LineupReport report() {
    ExpectedLineup plan{"Hall", "r1", {planned(12), planned(13), planned(14), planned(15)}};
    LineupReport out;
    out.venue = "Hall";
    out.watched = 10s;
    out.began = kBegan;
    for (std::size_t i = 0; i < 3; ++i) out.observations.push_back(right(plan.flows[i]));
    for (std::size_t i = 1; i < 3; ++i) out.observations[i].rtp->lost = 1;
    out.observations[0].course = course();
    out.observations[1].course = course([](auto& cells) { fail(cells[8], FlowFault::loss); });
    out.observations[2].course = course([](auto& cells) {
        fail(cells[8], FlowFault::continuity);
        for (std::size_t i = 20; i < 24; ++i) cells[i] = {};
    });
    out.verdicts = judge_all(plan, out.observations, ten_seconds());
    return out;
}

std::size_t count_of(const std::string& text, const std::string& what) {
    std::size_t out = 0;
    for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++out;
    return out;
}

}  // namespace

TEST_CASE("a chart tells its span in words, and is broken where nothing was heard", "[unit]") {
    const auto r = report();
    const auto right = course_charts(*r.observations[0].course, r), silent = course_charts(*r.observations[2].course, r);
    CHECK(right.find("aria-label=\"rate over time, 8.00 Mbit/s\"") != std::string::npos);
    CHECK(right.find("aria-label=\"delay factor over time, 3.0 ms\"") != std::string::npos);
    CHECK(count_of(right, "class=\"hush\"") == 0);
    CHECK(count_of(silent, "class=\"hush\"") == 4);
    CHECK(count_of(right, "M") == 3 + 1);  // two units, two lines
    CHECK(count_of(silent, "M") == 3 + 3);
}

TEST_CASE("the timeline has a lane for each channel that something befell, and marks what began together", "[unit]") {
    const auto text = event_timeline(report());
    CHECK(text.find("<title>113, from 1.90 s to 2.15 s: flow.loss, 1 in all</title>") != std::string::npos);
    CHECK(text.find("<title>114, from 1.90 s to 2.15 s: stream.continuity, 1 in all</title>") != std::string::npos);
    CHECK(text.find("<title>114, from 4.90 s to 5.90 s: nothing arrives</title>") != std::string::npos);
    CHECK(text.find("<title>115, from 0.15 s to 9.90 s: nothing arrives</title>") != std::string::npos);
    CHECK(text.find("<title>112") == std::string::npos);
    CHECK(count_of(text, "class=\"together\"") == 1);
    CHECK(text.find("<li>A, at 1.90 s: 2 channels, 113, 114: flow.loss, stream.continuity</li>") != std::string::npos);
    // Links to rows that the page has.
    const auto page = lineup_page(report());
    CHECK(count_of(text, "href=\"#v-") == 3);
    for (const std::string row : {"v-1", "v-2", "v-3"}) CHECK(count_of(page, "id=\"" + row + "\"") == 1);
}

TEST_CASE("without times there is no timeline, and without faults it says so", "[unit]") {
    auto r = report();
    r.began.reset();
    CHECK(event_timeline(r).empty());
    r = report();
    r.verdicts.resize(1);
    CHECK(event_timeline(r).find("Nothing befell any channel") != std::string::npos);
    r.watched = {};
    CHECK(event_timeline(r).empty());
}

TEST_CASE("a verification page of eighty channels is accessible in light and dark", "[browser]") {
    const TempFolder folder;
    auto r = report();
    const auto one = r;
    for (int n = 0; n < 19; ++n) {
        r.verdicts.insert(r.verdicts.end(), one.verdicts.begin(), one.verdicts.end());
        r.observations.insert(r.observations.end(), one.observations.begin(), one.observations.end());
    }
    // Wider than a screen: such a table is scrolled by keys.
    for (auto& v : r.verdicts)
        for (auto& check : v.checks) check.evidence = std::string(160, 'x');
    const auto page = lineup_page(r);
    CHECK(page.find("20 more channels are not drawn") != std::string::npos);
    write_text(folder.file("page.html"), page);
    for (const std::string view : {"light", "dark"}) {
        const auto result = run_command("timeout 110 node " MASTLINE_SOURCE_DIR "/tests/browser/axe.mjs " + view + " " + folder.file("page.html") + " 2>&1");
        INFO(result.output.substr(0, 3000));
        REQUIRE(result.status == 0);
        const auto seen = nlohmann::json::parse(result.output);
        CHECK(seen[0]["faults"].empty());
        CHECK(seen[0]["passes"].get<int>() > 12);
        CHECK(seen[0]["violations"].empty());
    }
}

TEST_CASE("a lineup that is right takes a line a channel on paper", "[browser]") {
    auto r = report();
    r.verdicts = std::vector<Verdict>(60, r.verdicts.front());
    Browser browser;
    const std::string pdf = browser.print(lineup_page(r));
    std::istringstream lines(run_command("pdftotext -bbox " + pdf + " -").output);
    const std::regex place("(page width|word xMin)=\"([0-9.-]+)\" (height|yMin)=\"([0-9.-]+)\"(?: xMax=\"([0-9.-]+)\" yMax=\"([0-9.-]+)\")?>([^<]*)");
    constexpr double kMillimetre = 72 / 25.4, kMargin = 11.9 * kMillimetre;
    int pages = 0, channels = 0;
    std::string margins;  // the words in the bottom margin: the number of each page
    double width = 0, height = 0;
    std::smatch m;
    for (std::string line; std::getline(lines, line);) {
        if (!std::regex_search(line, m, place)) continue;
        if (m[1] == "page width") {
            ++pages;
            width = std::stod(m[2]), height = std::stod(m[4]);
            CHECK(width == Approx(297 * kMillimetre).margin(1.5));
            continue;
        }
        channels += m[7] == "✓" ? 1 : 0;
        CHECK(std::stod(m[2]) >= kMargin);
        CHECK(std::stod(m[4]) >= kMargin);
        CHECK(std::stod(m[5]) <= width - kMargin);
        if (std::stod(m[4]) > height - kMargin) margins += m[7].str() + " ";
        else CHECK(std::stod(m[6]) <= height - kMargin);
    }
    CHECK(margins == "page 1 of 3 page 2 of 3 page 3 of 3 ");
    CHECK(channels == 60);
    CHECK(pages == 3);
}

TEST_CASE("a capture over time is what its frames say", "[outside]") {
    // The truth is counted by the script that makes the capture, frame by frame.
    const TempFolder folder;
    const auto made = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/report/make_course.py " + folder.path().string() + " 2>&1");
    INFO(made.output);
    REQUIRE(made.status == 0);
    const auto read = run_command(MASTLINE_BINARY_DIR "/probe/mastline-probe read " + folder.file("made.pcap") + " --plan " + folder.file("plan.toml") +
                                  " --json - --html " + folder.file("page.html") + " 2>&1");
    CHECK(read_text(folder.file("page.html")).find("<title>1, from 3.40 s to 5.15 s: nothing arrives") != std::string::npos);
    const auto truth = nlohmann::json::parse(read_text(folder.file("truth.json")));
    auto seen = nlohmann::json::parse(read.output)["verifications"][0]["observations"][0]["course"];
    REQUIRE(seen["delay_factor_ms"].size() == truth["delay_factor_ms"].size());
    for (std::size_t i = 0; i < truth["delay_factor_ms"].size(); ++i) {
        const auto &expected = truth["delay_factor_ms"][i], &found = seen["delay_factor_ms"][i];
        REQUIRE(found.is_null() == expected.is_null());
        if (!expected.is_null()) CHECK(found.get<double>() == Approx(expected.get<double>()).epsilon(1e-6));
    }
    seen["delay_factor_ms"] = truth["delay_factor_ms"];
    CHECK(seen == truth);
}

}  // namespace time_charts_test
