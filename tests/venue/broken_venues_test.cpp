// SPDX-License-Identifier: Apache-2.0
// The real program on each venue of tests/venue/broken: expected.txt holds what it must say.
#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>

#include "support/paths.hpp"
#include "support/program.hpp"
#include "support/temp_folder.hpp"

namespace {

namespace fs = std::filesystem;
using namespace mastline::test;

std::vector<fs::path> broken_venues() {
    std::vector<fs::path> out;
    for (const auto& entry : fs::directory_iterator(MASTLINE_SOURCE_DIR "/tests/venue/broken"))
        out.push_back(entry.path());
    std::sort(out.begin(), out.end());
    return out;
}

// Every file below a folder with its size and time of change.
std::vector<std::string> listing(const fs::path& folder) {
    std::vector<std::string> out;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (entry.is_regular_file())
            out.push_back(entry.path().string() + " " + std::to_string(entry.file_size()) + " " +
                          std::to_string(entry.last_write_time().time_since_epoch().count()));
    std::sort(out.begin(), out.end());
    return out;
}

}  // namespace

TEST_CASE("check names place, fault and cure of everything broken in a venue's files", "[input]") {
    const auto venues = broken_venues();
    CHECK(venues.size() >= 30);
    for (const auto& venue : venues) {
        INFO(venue.filename());
        const auto before = listing(venue);
        const auto result = planner("check '" + venue.string() + "'");
        CHECK(result.output == read_text(venue / "expected.txt"));
        CHECK(result.status == 2);
        CHECK(listing(venue) == before);
    }
}

TEST_CASE("build writes nothing from broken files", "[input]") {
    TempFolder folder;
    for (const auto& venue : broken_venues()) {
        INFO(venue.filename());
        const auto out = folder.path() / venue.filename();
        const auto result = planner("build '" + venue.string() + "' --out '" + out.string() + "'");
        CHECK(result.output == read_text(venue / "expected.txt"));
        CHECK(result.status == 2);
        CHECK_FALSE(fs::exists(out));
    }
}
