// SPDX-License-Identifier: Apache-2.0
// The document set against WCAG 2.2 A and AA as axe-core checks it, by keys alone, and in size.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "mastline/sheets/sheets.hpp"
#include "support/paths.hpp"
#include "tests/support/run_command.hpp"
#include "tests/support/sample_plan.hpp"
#include "tests/support/temp_folder.hpp"

using namespace mastline;

namespace {

nlohmann::json run_script(const std::string& script, const std::string& arguments) {
    const auto out = test::run_command("timeout 110 node " MASTLINE_SOURCE_DIR "/tests/browser/" +
                                       script + " " + arguments + " 2>&1");
    INFO("tools/setup test installs what this needs\n" << out.output);
    REQUIRE(out.status == 0);
    return nlohmann::json::parse(out.output);
}

}  // namespace

TEST_CASE("axe-core finds no violation in the document set, in light, in dark and at 200 % zoom",
          "[browser]") {
    test::TempFolder folder;
    const auto [venue, plan] = sample::make(1, 1, 8);
    test::write_text(folder.file("sheets.html"), write_sheets(venue, plan));
    for (const auto* view : {"light", "dark"}) {
        const auto pages = run_script("axe.mjs", std::string(view) + " " + folder.file("sheets.html"));
        REQUIRE(pages.size() == 1);
        INFO(pages.dump(1).substr(0, 3000));
        CHECK(pages[0]["faults"].empty());
        CHECK(pages[0]["passes"].get<int>() > 25);
        CHECK(pages[0]["violations"].empty());
    }
}

TEST_CASE("search, sorting, filters and links work by keys alone", "[browser]") {
    const auto [venue, plan] = sample::make();
    test::TempFolder folder;
    test::write_text(folder.file("sheets.html"), write_sheets(venue, plan));
    const auto seen = run_script("keyboard.mjs", folder.file("sheets.html"));
    INFO(seen.dump(1));
    CHECK(seen["faults"].empty());
    CHECK(seen["first_stop"] == "To the sheets");
    CHECK(seen["skipped_to"] == "#main");
    CHECK(seen["search"][0] == "search");
    CHECK(seen["search"][1].get<std::string>().starts_with("1 of "));
    CHECK(seen["search_again"].get<std::string>().starts_with("2 of "));
    CHECK(seen["search_cleared"] == "0");
    CHECK(seen["sorted"] == "ascending");
    CHECK(seen["sorted_back"] == "descending");
    CHECK(seen["next_stop"] == true);
    CHECK(seen["ring"] == "solid");
    CHECK(seen["filter"].get<std::string>().find("of 61 rows") != std::string::npos);
    CHECK(seen["to_picture"] == "g #p-dev");
    CHECK(seen["picture_in_view"] == true);
    CHECK(seen["to_row"] == "TR");
    CHECK(seen["row_in_view"] == true);
    CHECK(seen["hidden_stops"] == 0);
    CHECK(seen["printed"] == nlohmann::json({1, 14}));
}
