// SPDX-License-Identifier: Apache-2.0
// The planner as its user meets it: the real program, real folders.
#include <catch2/catch.hpp>

#include <filesystem>
#include <map>

#include "support/paths.hpp"
#include "support/program.hpp"
#include "support/temp_folder.hpp"

namespace {

namespace fs = std::filesystem;
using namespace mastline::test;

// Every file below a folder: its name there and its content.
std::map<std::string, std::string> contents(const fs::path& folder) {
    std::map<std::string, std::string> out;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (entry.is_regular_file())
            out.emplace(fs::relative(entry.path(), folder).string(), read_text(entry.path()));
    return out;
}

void replace_in(const fs::path& file, const std::string& from, const std::string& to) {
    std::string text = read_text(file);
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    write_text(file, text.replace(at, from.size(), to));
}

struct Starter {
    TempFolder folder;
    std::string venue = folder.file("arena"), out = folder.file("out");
    CommandResult made = planner("new " + venue);
};

}  // namespace

TEST_CASE("the starter venue loads and plans without a finding", "[unit]") {
    const Starter starter;
    REQUIRE(starter.made.status == 0);
    const auto check = planner("check " + starter.venue);
    INFO(check.output);
    CHECK(check.status == 0);
    CHECK(check.output.find("4 channels on 2 of 2 cards, 4 groups, 3 links") != std::string::npos);
    CHECK(check.output.find("0 errors, 0 warnings, 0 notes") != std::string::npos);
}

TEST_CASE("build writes plan, sheets, lists, playlist and one SDP per channel", "[unit]") {
    const Starter starter;
    const auto build = planner("build " + starter.venue + " --out " + starter.out);
    INFO(build.output);
    REQUIRE(build.status == 0);
    std::vector<std::string> names;
    for (const auto& [name, text] : contents(starter.out)) {
        names.push_back(name);
        CHECK_FALSE(text.empty());
    }
    CHECK(names == std::vector<std::string>{
                       "addresses.csv", "channels.csv", "lineup.xspf", "loads.csv", "parts.csv",
                       "plan.toml", "plan.xlsx", "power.csv", "readings.csv", "sdp/1.sdp", "sdp/101.sdp",
                       "sdp/102.sdp", "sdp/103.sdp", "settings.csv", "sheets.html",
                       "sheets/01-findings.html", "sheets/02-signal.html", "sheets/03-ladders.html",
                       "sheets/04-wiring.html", "sheets/04a-cable-labels.html",
                       "sheets/04b-readings.html", "sheets/05-cards.html",
                       "sheets/06-channels.html", "sheets/06a-guide.html",
                       "sheets/07-addresses.html", "sheets/08-network.html",
                       "sheets/08a-agreement.html", "sheets/09-what-if.html",
                       "sheets/10-cutover.html", "snooping/core.json",
                       "snooping/floor-1.json", "snooping/floor-2.json", "wiring.csv"});
}

TEST_CASE("every run of build gives the same bytes, from any folder", "[unit]") {
    const Starter starter;
    REQUIRE(planner("build " + starter.venue + " --out " + starter.out).status == 0);
    const auto first = contents(starter.out);
    REQUIRE(planner("build " + starter.venue + "/venue.toml --out " + starter.out).status == 0);
    CHECK(contents(starter.out) == first);
    const auto other = starter.folder.file("other");
    fs::copy(starter.venue, starter.folder.file("copy"), fs::copy_options::recursive);
    REQUIRE(run_command("cd " + starter.folder.file("copy") + " && " MASTLINE_BINARY_DIR
                        "/planner/mastline-planner build . --out " + other).status == 0);
    CHECK(contents(other) == first);
}

TEST_CASE("build with --out in the venue's own folder spares the channel list", "[input]") {
    const Starter starter;
    const auto before = contents(starter.venue);
    const auto build = planner("build " + starter.venue + " --out " + starter.venue);
    CHECK(build.status == 2);
    CHECK(build.output.find("channels.csv is a file of the venue") != std::string::npos);
    CHECK(contents(starter.venue) == before);
}

TEST_CASE("with errors in the plan the sheets are still written and the status is 1", "[unit]") {
    const Starter starter;
    replace_in(fs::path(starter.venue) / "signals.toml", "window_high = \"-20 dBm\"",
               "window_high = \"-40 dBm\"");
    const auto build = planner("build " + starter.venue + " --out " + starter.out);
    INFO(build.output);
    CHECK(build.status == 1);
    CHECK(build.output.find(": error: level.above-window: ") != std::string::npos);
    CHECK(read_text(fs::path(starter.out) / "sheets.html").find("level.above-window") !=
          std::string::npos);
    CHECK(read_text(fs::path(starter.out) / "plan.toml").find("[[planner.finding]]") !=
          std::string::npos);
}

TEST_CASE("new refuses a folder that is not empty, and a file", "[input]") {
    const Starter starter;
    const auto before = contents(starter.venue);
    const auto again = planner("new " + starter.venue);
    CHECK(again.status == 2);
    CHECK(again.output.find("is not empty") != std::string::npos);
    CHECK(contents(starter.venue) == before);
    CHECK(planner("new " + starter.venue + "/venue.toml").status == 2);
    fs::create_directory(starter.folder.file("empty"));
    CHECK(planner("new " + starter.folder.file("empty")).status == 0);
}

TEST_CASE("a venue that is not there is a usage error", "[input]") {
    TempFolder folder;
    const auto missing = planner("check " + folder.file("nowhere"));
    CHECK(missing.status == 2);
    CHECK(missing.output.find("there is no ") != std::string::npos);
    CHECK(planner("check " + folder.path().string()).status == 2);
    CHECK(planner("build " + folder.file("nowhere") + " --out " + folder.file("out")).status == 2);
    CHECK_FALSE(fs::exists(folder.file("out")));
}

TEST_CASE("wrong usage is told with status 2, help and version with 0", "[input]") {
    CHECK(planner("").status == 2);
    CHECK(planner("chek .").status == 2);
    CHECK(planner("check").status == 2);
    CHECK(planner("check . --jsn -").status == 2);
    CHECK(planner("build .").status == 2);
    const auto version = planner("--version");
    CHECK(version.status == 0);
    CHECK(version.output.starts_with("mastline-planner "));
    for (const std::string command : {"check", "build", "new", "reference"}) {
        const auto help = planner(command + " --help");
        INFO(command);
        CHECK(help.status == 0);
        const auto first = help.output.find("  mastline-planner " + command);
        REQUIRE(first != std::string::npos);
        CHECK(help.output.find("  mastline-planner " + command, first + 1) != std::string::npos);
    }
}

TEST_CASE("a machine that refuses gives status 3", "[input]") {
    const Starter starter;
    write_text(starter.folder.file("file"), "");
    CHECK(planner("build " + starter.venue + " --out " + starter.folder.file("file") + "/out").status == 3);
    CHECK(planner("check " + starter.venue + " --json " + starter.folder.file("no/") + "/").status == 3);
    CHECK(run_command(MASTLINE_BINARY_DIR "/planner/mastline-planner check " + starter.venue +
                      " 2>/dev/null >/dev/full").status == 3);
}

TEST_CASE("check --json - gives JSON alone on standard output", "[unit]") {
    const Starter starter;
    const auto check = planner("check " + starter.venue + " --json -");
    CHECK(check.status == 0);
    CHECK(check.output.starts_with("{\n  \"schema\": \"mastline-check 1\""));
    CHECK(check.output.ends_with("}\n"));
}

TEST_CASE("on no terminal the findings are plain whatever the environment says", "[unit]") {
    const auto result = run_command("TERM=xterm-256color " MASTLINE_BINARY_DIR
                                    "/planner/mastline-planner check " MASTLINE_SOURCE_DIR
                                    "/tests/venue/broken/unknown-key");
    CHECK(result.output.find('\033') == std::string::npos);
}

TEST_CASE("build removes the SDP of a channel that is no more, and no other file", "[unit]") {
    const Starter starter;
    REQUIRE(planner("build " + starter.venue + " --out " + starter.out).status == 0);
    write_text(fs::path(starter.out) / "sdp" / "notes.sdp", "the engineer's own");
    replace_in(fs::path(starter.venue) / "channels.csv",
               "103,Fielder Sports,SD,sports,Fielder Sports,\n", "");
    REQUIRE(planner("build " + starter.venue + " --out " + starter.out).status == 0);
    const auto after = contents(starter.out);
    CHECK_FALSE(after.contains("sdp/103.sdp"));
    CHECK(after.contains("sdp/102.sdp"));
    CHECK(after.contains("sdp/notes.sdp"));
}

TEST_CASE("a session description takes the next version when it changes, and only then", "[outside]") {
    // RFC 8866 section 5.2: sess-version is increased when a modification is made.
    const Starter starter;
    const auto version = [&](const std::string& name) {
        const auto text = contents(starter.out).at("sdp/" + name);
        const auto at = text.find("o=- ");
        const auto space = text.find(' ', at + 4);
        return text.substr(space + 1, text.find(' ', space + 1) - space - 1);
    };
    const auto build = [&] { return planner("build " + starter.venue + " --out " + starter.out).status; };
    REQUIRE(build() == 0);
    CHECK(version("101.sdp") == "1");
    REQUIRE(build() == 0);
    CHECK(version("101.sdp") == "1");
    replace_in(fs::path(starter.venue) / "channels.csv", "101,Morning One,HD", "101,Morning Two,HD");
    REQUIRE(build() == 0);
    CHECK(version("101.sdp") == "2");
    CHECK(version("102.sdp") == "1");
    REQUIRE(build() == 0);
    CHECK(version("101.sdp") == "2");
    // A plan for another folder goes on from the one it keeps.
    const auto next = starter.folder.file("next");
    replace_in(fs::path(starter.venue) / "channels.csv", "101,Morning Two,HD", "101,Morning Three,HD");
    REQUIRE(planner("build " + starter.venue + " --out " + next + " --keep " + starter.out +
                    "/plan.toml --today 2026-03-01").status == 0);
    CHECK(contents(next).at("sdp/101.sdp").find(" 3 IN IP4 ") != std::string::npos);
    CHECK(contents(next).at("sdp/102.sdp").find(" 1 IN IP4 ") != std::string::npos);
}

TEST_CASE("build --keep leaves groups where an earlier plan had them", "[unit]") {
    const Starter starter;
    replace_in(fs::path(starter.venue) / "network.toml", "scheme = \"by-number\"",
               "scheme = \"sequential\"");
    REQUIRE(planner("build " + starter.venue + " --out " + starter.out).status == 0);
    const auto first = contents(starter.out);
    const auto keep = " --keep " + starter.out + "/plan.toml --today 2026-03-01";
    const auto next = starter.folder.file("next");
    REQUIRE(planner("build " + starter.venue + " --out " + next + keep).status == 0);
    CHECK(contents(next).at("channels.csv") == first.at("channels.csv"));
    CHECK(contents(next).at("lineup.xspf") == first.at("lineup.xspf"));
    replace_in(fs::path(starter.venue) / "channels.csv", "101,Morning One,HD,general,Morning One,\n", "");
    REQUIRE(planner("build " + starter.venue + " --out " + next + keep).status == 0);
    const auto after = contents(next);
    CHECK(after.at("sdp/102.sdp") == first.at("sdp/102.sdp"));
    CHECK(after.at("sdp/103.sdp") == first.at("sdp/103.sdp"));
    CHECK(after.at("plan.toml").find("freed_on = \"2026-03-01\"") != std::string::npos);
}

TEST_CASE("build --keep refuses what is no plan, and a day that is none", "[input]") {
    const Starter starter;
    const auto build = "build " + starter.venue + " --out " + starter.out + " --keep ";
    CHECK(planner(build + starter.folder.file("missing.toml")).status == 2);
    const auto wrong = planner(build + starter.venue + "/venue.toml");
    CHECK(wrong.status == 2);
    CHECK(wrong.output.find("venue.toml:") != std::string::npos);
    CHECK_FALSE(fs::exists(starter.out));
    REQUIRE(planner("build " + starter.venue + " --out " + starter.out).status == 0);
    CHECK(planner(build + starter.out + "/plan.toml --today 2026-02-30").status == 2);
    CHECK(planner("build " + starter.venue + " --out " + starter.out + " --today 2026-03-01").status == 2);
}
