// SPDX-License-Identifier: Apache-2.0
// Names that would do harm where they are shown, through everything that a plan is written as.
#include <catch2/catch.hpp>

#include <regex>
#include <set>

#include "support/harm.hpp"
#include "support/paths.hpp"
#include "support/program.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

namespace {

// Names for the first channels of the demo venue, as a CSV file has them.
const std::vector<std::string> kNames{
    R"x("=HYPERLINK(""http://example.org"")")x", "<script>alert(1)</script>", "\u202Egnp.exe", "@SUM(A1)", "\x1b[31mred",
    "-2+3", "\"two\nlines\"", R"x("""><img src=x onerror=y>")x", "\u2066apart\u2069", "+cmd|x"};

// The venue with these names, written to `folder`; the rest of each row stays.
void write_venue(const std::string& folder) {
    std::filesystem::copy(MASTLINE_SOURCE_DIR "/lineups/quillwater-arena", folder, std::filesystem::copy_options::recursive);
    const std::string list = read_text(folder + "/channels.csv");
    std::string out;
    std::size_t row = 0;
    for (std::size_t at = 0, end = 0; at < list.size(); at = end + 1, ++row) {
        end = std::min(list.find('\n', at), list.size());
        const auto line = list.substr(at, end - at);
        const auto name = line.find(',') + 1, after = line.find(',', name);
        out += (row == 0 || row > kNames.size() ? line : line.substr(0, name) + kNames[row - 1] + line.substr(after)) + "\n";
    }
    write_text(folder + "/channels.csv", out);
}

bool is_markup(const std::filesystem::path& file) {
    const auto kind = file.extension();
    return kind == ".html" || kind == ".xspf" || kind == ".xml";
}

// Where a spreadsheet would take a cell for a formula; our numbers may begin with a minus.
std::string formula_in(const std::string& csv) {
    for (const std::string start : {",=", ",+", ",@", ",\"=", ",\"+", ",\"@", ",-2+", "\n=", "\n+", "\n@"})
        if (const auto at = csv.find(start); at != std::string::npos) return csv.substr(at, 40);
    return {};
}

}  // namespace

TEST_CASE("names that would do harm are harmless in every file of a plan and on the terminal", "[input]") {
    const TempFolder folder;
    const auto venue = folder.file("venue"), out = folder.file("out");
    write_venue(venue);
    // The checks see the harm where it comes from.
    const auto names = read_text(venue + "/channels.csv");
    CHECK(unseen_in(names) != "");
    CHECK(formula_in(names) != "");
    const auto built = planner("build " + venue + " --out " + out);
    INFO(built.output);
    REQUIRE(built.status == 0);
    CHECK(unseen_in(built.output + planner("check " + venue + " --json -").output + planner("explain " + venue + " --without A4").output) == "");
    REQUIRE(run_command("python3 -m zipfile -e " + out + "/plan.xlsx " + out + "/workbook").status == 0);
    std::filesystem::remove(out + "/plan.xlsx");
    std::set<std::string> kinds;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(out)) {
        if (!entry.is_regular_file()) continue;
        const auto& file = entry.path();
        const auto text = read_text(file);
        kinds.insert(file.extension());
        INFO(file);
        CHECK(unseen_in(text) == "");
        CHECK(unseen_in(file.string()) == "");
        if (is_markup(file)) {
            CHECK(text.find("<script>alert") == std::string::npos);
            CHECK(text.find("<img src=x") == std::string::npos);
        }
        if (file.extension() == ".xml") CHECK(text.find("<f>") == std::string::npos);
        if (file.extension() == ".csv") CHECK(formula_in(text) == "");
    }
    CHECK(kinds == std::set<std::string>{"", ".csv", ".html", ".json", ".rels", ".sdp", ".toml", ".xml", ".xspf"});
    // The names are still there, told as text.
    CHECK(read_text(out + "/channels.csv").find("'@SUM(A1)") != std::string::npos);
    CHECK(read_text(out + "/sheets.html").find("&lt;script&gt;alert(1)") != std::string::npos);
    CHECK(read_text(out + "/sdp/5.2.sdp").find("\r\nlines") == std::string::npos);
}

TEST_CASE("names of folders and of equipment are harmless on the terminal", "[input]") {
    const TempFolder folder;
    const std::string harm = "\x1b[31m\u202e<b>\nx=1";
    const auto venue = "'" + folder.file("hall" + harm) + "'", out = "'" + folder.file("out" + harm) + "'";
    const std::string planner = MASTLINE_BINARY_DIR "/planner/mastline-planner ", probe = MASTLINE_BINARY_DIR "/probe/mastline-probe ",
                      rehearse = MASTLINE_BINARY_DIR "/tools/rehearse/mastline-rehearse ";
    for (const auto& line : {planner + "new " + venue, planner + "check " + venue, planner + "build " + venue + " --out " + out, planner + "check " + out,
                             planner + "compare " + out + " " + out, planner + "compare " + venue + " " + out, planner + "readings " + venue + " " + out,
                             planner + "import " + venue + " --into " + out, probe + "read " + out, rehearse + out + " --write " + out + " --fault '" + harm + "'"}) {
        const auto output = run_command(line + " 2>&1").output;
        INFO(output);
        CHECK(output != "");
        CHECK(unseen_in(output) == "");
    }
    std::filesystem::copy(MASTLINE_SOURCE_DIR "/lineups/quillwater-arena", folder.file("arena"));
    for (const auto* name : {"roof.toml", "broadcast.toml", "head-end.toml", "network.toml"}) {
        auto text = read_text(folder.file("arena/") + name);
        for (const std::string part : {"receiver", "south-dish", "access-12", "A1", "tap-trunk"})
            text = std::regex_replace(text, std::regex("\"" + part + "(\\.[a-z0-9{}]+)?\""), "\"" + part + "\\u202e\\u001b[1m<b>\\n=1$1\"");
        write_text(folder.file("arena/") + name, text);
    }
    const auto built = run_command(planner + "build " + folder.file("arena") + " --out " + folder.file("plan") + " 2>&1");
    INFO(built.output);
    CHECK(built.output.find("least margin") != std::string::npos);
    CHECK(unseen_in(built.output) == "");
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder.file("plan"))) {
        if (!entry.is_regular_file() || entry.path().extension() == ".xlsx") continue;
        const auto text = read_text(entry.path());
        INFO(entry.path());
        CHECK(unseen_in(text) == "");
        if (is_markup(entry.path())) CHECK(text.find("<b>\uFFFD=1") == std::string::npos);
    }
}
