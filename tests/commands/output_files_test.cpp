// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <unistd.h>

#include <filesystem>
#include <system_error>

#include "planner/commands/output_files.hpp"
#include "support/temp_folder.hpp"

namespace {

namespace fs = std::filesystem;
using mastline::test::read_text;
using mastline::test::TempFolder;

std::size_t entries(const fs::path& folder) {
    return static_cast<std::size_t>(
        std::distance(fs::recursive_directory_iterator(folder), fs::recursive_directory_iterator()));
}

}  // namespace

TEST_CASE("files are written with the folders that they need, and nothing is left beside", "[unit]") {
    TempFolder folder;
    const auto out = folder.path() / "plans" / "arena";
    mastline::write_files({{out / "plan.toml", "one"}, {out / "sdp" / "1.sdp", "two"}});
    CHECK(read_text(out / "plan.toml") == "one");
    CHECK(read_text(out / "sdp" / "1.sdp") == "two");
    CHECK(entries(out) == 3);
}

TEST_CASE("a file that is there is replaced whole", "[unit]") {
    TempFolder folder;
    const auto file = folder.path() / "plan.toml";
    mastline::test::write_text(file, "a long text that was there before");
    mastline::write_files({{file, "new"}});
    CHECK(read_text(file) == "new");
}

TEST_CASE("when one file cannot be written none is, and the old ones stay", "[input]") {
    TempFolder folder;
    mastline::test::write_text(folder.path() / "plan.toml", "old");
    mastline::test::write_text(folder.path() / "sdp", "a file where a folder must be");
    CHECK_THROWS_AS(mastline::write_files({{folder.path() / "plan.toml", "new"},
                                           {folder.path() / "sdp" / "1.sdp", "x"}}),
                    std::system_error);
    CHECK(read_text(folder.path() / "plan.toml") == "old");
    CHECK(entries(folder.path()) == 2);
}

TEST_CASE("a folder in the place of a file is refused", "[input]") {
    TempFolder folder;
    fs::create_directory(folder.path() / "plan.toml");
    CHECK_THROWS_AS(mastline::write_files({{folder.path() / "plan.toml", "x"}}), std::system_error);
    CHECK(entries(folder.path()) == 1);
}

TEST_CASE("a link to a file stays a link", "[unit]") {
    TempFolder folder;
    mastline::test::write_text(folder.path() / "real.json", "old");
    fs::create_symlink(folder.path() / "real.json", folder.path() / "link.json");
    mastline::write_text((folder.path() / "link.json").string(), "new");
    CHECK(fs::is_symlink(folder.path() / "link.json"));
    CHECK(read_text(folder.path() / "real.json") == "new");
}

TEST_CASE("a device is written to and stays a device", "[unit]") {
    mastline::write_text("/dev/null", "gone");
    CHECK(fs::is_character_file("/dev/null"));
}

TEST_CASE("a full disk is told", "[input]") {
    CHECK_THROWS_AS(mastline::write_text("/dev/full", "no room"), std::system_error);
}
