// SPDX-License-Identifier: Apache-2.0
// lineups/GUIDE.md, command by command.
#include <catch2/catch.hpp>

#include <filesystem>
#include <regex>
#include <set>

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

// The pictures that a page shows.
std::set<std::string> pictures_of(const std::string& page) {
    static const std::regex picture("!\\[[^\\]]+\\]\\((pictures/[a-z-]+\\.png)\\)");
    std::set<std::string> out;
    for (std::sregex_iterator at(page.begin(), page.end(), picture), end; at != end; ++at) out.insert((*at)[1]);
    return out;
}

std::set<std::string> files_of(const std::filesystem::path& folder) {
    std::set<std::string> out;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) out.insert("pictures/" + entry.path().filename().string());
    return out;
}

// The first 24 bytes of a PNG file tell its kind and its size (W3C PNG, 5.2 and 11.2.1).
std::string png_head(const std::filesystem::path& file) { return read_text(file.string()).substr(0, 24); }

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

TEST_CASE("the pictures of the guide are those that the tools make of the demo venue", "[browser]") {
    const TempFolder folder;
    const std::filesystem::path kept = MASTLINE_SOURCE_DIR "/lineups/pictures", made = folder.path() / "pictures";
    const auto result = run_command("MASTLINE_BUILT=" MASTLINE_BINARY_DIR " timeout 110 " MASTLINE_SOURCE_DIR "/tools/pictures " + made.string() + " 2>&1");
    INFO(result.output);
    REQUIRE(result.status == 0);
    const auto shown = pictures_of(read_text(MASTLINE_SOURCE_DIR "/lineups/GUIDE.md"));
    CHECK(shown.size() == 6);
    CHECK(files_of(kept) == shown);
    CHECK(files_of(made) == shown);
    for (const auto& name : shown) {
        INFO(name);
        const std::string head = png_head(made.parent_path() / name);
        REQUIRE(head.substr(0, 8) == "\x89PNG\r\n\x1A\n");
        CHECK(head == png_head(kept.parent_path() / name));
    }
}
