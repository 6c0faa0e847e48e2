// SPDX-License-Identifier: Apache-2.0
// lineups/GUIDE.md, command by command.
#include <catch2/catch.hpp>

#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

namespace {

// The blocks that a page marks as shell, one after the other.
std::string shell_blocks(const std::string& page) {
    const std::string opening = "\n```sh\n";
    std::string out;
    for (auto at = page.find(opening); at != std::string::npos; at = page.find(opening, at)) {
        at += opening.size();
        const auto end = page.find("```\n", at);
        if (end == std::string::npos) throw std::runtime_error("a block without an end");
        out += page.substr(at, end - at);
        at = end;
    }
    return out;
}

bool says(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("the guide leads from an empty folder to a clean cutover", "[live]") {
    const TempFolder folder;
    const TempFolder scripts;
    write_text(scripts.file("guide"), "set -euo pipefail\nexport MASTLINE=" MASTLINE_SOURCE_DIR "\nexport PATH=" MASTLINE_BINARY_DIR
                                      "/planner:" MASTLINE_BINARY_DIR "/probe:" MASTLINE_BINARY_DIR
                                      "/tools/rehearse:$PATH\nset -x\n" +
                                          shell_blocks(read_text(MASTLINE_SOURCE_DIR "/lineups/GUIDE.md")));
    const auto evening = run_command("cd " + folder.path().string() + " && timeout 100 bash " + scripts.file("guide") + " 2>&1");
    INFO(evening.output);
    REQUIRE(evening.status == 0);
    CHECK(says(evening.output, "stream.components"));  // the fault of the second rehearsal
    CHECK(says(read_text(folder.file("cutover.html")), "113"));
    CHECK_FALSE(says(read_text(folder.file("tonight/channels.csv")), "\n103,"));
    for (const std::string name : {"plan/sheets.html", "plan/plan.xlsx", "plan/lineup.xspf", "clean.html", "fault.html"}) {
        INFO(name);
        CHECK(std::filesystem::file_size(folder.path() / name) > 0);
    }
}
