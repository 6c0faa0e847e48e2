// SPDX-License-Identifier: Apache-2.0
// The workbook, read back by openpyxl: an independent reader of Office Open XML.
#include "mastline/sheets/workbook.hpp"

#include <catch2/catch.hpp>
#include <chrono>
#include <nlohmann/json.hpp>

#include "mastline/sheets/sheets.hpp"
#include "tests/support/run_command.hpp"
#include "tests/support/sample_plan.hpp"
#include "tests/support/temp_folder.hpp"

using namespace mastline;

namespace {

// Every worksheet: cells as [value, type] (type as openpyxl names it: "n" number, "s" string, "f"
// formula), where panes are frozen, the range of the filter, and the formats of numbers.
nlohmann::json read_back(const std::string& bytes) {
    static const std::string script = R"py(
import json, sys, openpyxl
book = openpyxl.load_workbook(sys.argv[1])
out = {"created": book.properties.created.isoformat(), "title": book.properties.title, "sheets": {}}
for sheet in book.worksheets:
    out["sheets"][sheet.title] = {
        "rows": [[[c.value, c.data_type, c.number_format] for c in row] for row in sheet.iter_rows()],
        "frozen": sheet.freeze_panes, "filter": sheet.auto_filter.ref, "size": sheet.dimensions,
        "repeat": sheet.print_title_rows, "link": len(sheet._hyperlinks)}
print(json.dumps(out))
)py";
    test::TempFolder folder;
    test::write_text(folder.file("plan.xlsx"), bytes);
    test::write_text(folder.file("read.py"), script);
    const auto out =
        test::run_command("/usr/bin/python3 " + folder.file("read.py") + " " + folder.file("plan.xlsx"));
    INFO(out.output);
    REQUIRE(out.status == 0);
    return nlohmann::json::parse(out.output);
}

// Column of a worksheet by its header.
std::size_t column(const nlohmann::json& sheet, const std::string& head) {
    const auto& row = sheet["rows"][0];
    for (std::size_t c = 0; c < row.size(); ++c)
        if (row[c][0] == head) return c;
    FAIL("no column " << head);
    return 0;
}

const nlohmann::json& cell(const nlohmann::json& sheet, std::size_t row, const std::string& head) {
    return sheet["rows"][row][column(sheet, head)];
}

}  // namespace

TEST_CASE("another program reads the workbook with filters, frozen headers and units",
          "[outside]") {
    const auto [venue, plan] = sample::make();
    const auto book = read_back(write_workbook(venue, plan));
    for (const auto* name : {"Channel map", "Wiring", "Settings", "Parts", "Power supplies",
                             "Fed parts", "Carrier to noise", "Test points", "Cards", "Addresses",
                             "Link loads", "Switches"}) {
        INFO(name);
        REQUIRE(book["sheets"].contains(name));
        const auto& sheet = book["sheets"][name];
        CHECK(sheet["frozen"] == "A2");
        CHECK(sheet["repeat"] == "$1:$1");
        CHECK(sheet["rows"].size() > 1);
        // The filter's range is the whole table: openpyxl tells both as "A1:Q62".
        CHECK(sheet["filter"] == sheet["size"]);
    }
    CHECK(book["title"] == "Harbour Arena");
    CHECK(book["created"] == "2000-01-01T00:00:00");
    const auto& wiring = book["sheets"]["Wiring"];
    CHECK(cell(wiring, 1, "Length (m)") == nlohmann::json({12, "n", "0.0"}));
    CHECK(cell(wiring, 1, "To, lowest (dBm)") == nlohmann::json({-38.64, "n", "0.0"}));
    CHECK(cell(wiring, 1, "Label") == nlohmann::json({"W101/1", "s", "General"}));
    const auto& map = book["sheets"]["Channel map"];
    CHECK(cell(map, 1, "Number") == nlohmann::json({101, "n", "0"}));
    CHECK(cell(map, 1, "Rate (Mbit/s)") == nlohmann::json({18, "n", "0.000"}));
    CHECK(cell(map, 1, "Group") == nlohmann::json({"239.192.10.1", "s", "General"}));
}

TEST_CASE("workbook and CSV tell the same rows", "[outside]") {
    const auto [venue, plan] = sample::make();
    const auto book = read_back(write_workbook(venue, plan));
    const auto lines = [](const std::string& csv) {
        std::size_t count = 0;
        for (auto at = csv.find("\r\n"); at != std::string::npos; at = csv.find("\r\n", at + 2)) ++count;
        return count;
    };
    const auto rows = [&](const char* name) { return book["sheets"][name]["rows"].size(); };
    CHECK(rows("Channel map") == lines(channels_csv(venue, plan)));
    CHECK(rows("Wiring") == lines(wiring_csv(venue, plan)));
    CHECK(rows("Settings") == lines(settings_csv(venue, plan)));
    CHECK(rows("Parts") == lines(parts_csv(venue, plan)));
    CHECK(rows("Fed parts") == lines(power_csv(venue, plan)));
    CHECK(rows("Addresses") == lines(addresses_csv(venue, plan)));
    CHECK(rows("Link loads") == lines(loads_csv(venue, plan)));
    for (const auto* column : {"Mean of the worst mix (Mbit/s)", "Worst mix, 99.9 % of the time below (Mbit/s)",
                               "Worst failure, 99.9 % of the time below (Mbit/s)"}) {
        INFO(column);
        CHECK(cell(book["sheets"]["Link loads"], 1, column)[2] == "0.0");
        CHECK(loads_csv(venue, plan).find(column) != std::string::npos);
    }
}

TEST_CASE("no text of the workbook is a formula, a link or a control character", "[input]") {
    auto [venue, plan] = sample::make();
    const std::vector<std::string> evil{"=HYPERLINK(\"http://x\",\"y\")", "+1+1", "-2", "@SUM(A1)",
                                        "http://example.net/", "two\nlines", "\x1b[31mred",
                                        "right\u202eleft", "&A&D &[Page]", "'quoted"};
    for (std::size_t i = 0; i < evil.size(); ++i) venue.channels[i].name = evil[i];
    venue.name = evil[0];
    for (auto& run : venue.runs) run.cable = evil[2];
    const auto book = read_back(write_workbook(venue, plan));
    for (const auto& [name, sheet] : book["sheets"].items()) {
        CHECK(sheet["link"] == 0);
        for (const auto& row : sheet["rows"])
            for (const auto& value : row) {
                CHECK(value[1] != "f");
                if (!value[0].is_string()) continue;
                const auto text = value[0].get<std::string>();
                CHECK(text.find('\n') == std::string::npos);
                CHECK(text.find('\x1b') == std::string::npos);
                CHECK(text.find("\u202e") == std::string::npos);
            }
    }
    const auto& map = book["sheets"]["Channel map"];
    CHECK(cell(map, 1, "Name") == nlohmann::json({evil[0], "s", "General"}));
    CHECK(cell(map, 3, "Name") == nlohmann::json({"-2", "s", "General"}));
}

TEST_CASE("the workbook's bytes follow from the plan alone", "[property]") {
    const auto one = sample::make(), two = sample::make();
    const std::string bytes = write_workbook(one.venue, one.plan);
    CHECK(bytes == write_workbook(two.venue, two.plan));
    ::setenv("TZ", "Pacific/Auckland", 1);
    ::tzset();
    CHECK(bytes == write_workbook(two.venue, two.plan));
    ::unsetenv("TZ");
    ::tzset();
}

TEST_CASE("an empty venue makes a workbook of headers", "[unit]") {
    const auto [venue, plan] = sample::empty();
    const auto book = read_back(write_workbook(venue, plan));
    CHECK(book["sheets"].size() == 12);
    CHECK(book["sheets"]["Channel map"]["rows"].size() == 1);
}
