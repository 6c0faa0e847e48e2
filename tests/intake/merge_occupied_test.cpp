// SPDX-License-Identifier: Apache-2.0
// Groups in use into venue files: what stands there stays byte for byte.
#include "planner/intake/merge_occupied.hpp"

#include <catch2/catch.hpp>

using namespace mastline;
using Lines = std::vector<std::string>;

namespace merge_occupied_test {

namespace {

const std::string kFile =
    "# Ours.\n\n[[occupied]]   # the old system\ngroups = \"239.1.0.0/24\"\nwhat = \"paging\"  # until spring\n"
    "# it goes with the wing\n\n[network]\nforwarding = \"routed\"  # PIM\n";

MergedOccupied merge(const std::string& list, const std::string& into, Lines& lines,
                     const std::set<Group>& own = {}) {
    Findings findings;
    const auto out = merge_occupied(list, "used.toml", into, "network.toml", own, findings);
    for (const auto& f : findings) lines.push_back(to_line(f));
    return out;
}

std::string table(const std::string& group, const std::string& what = "") {
    return "[[occupied]]\ngroups = \"" + group + "\"\n" + (what.empty() ? "" : "what = \"" + what + "\"\n");
}

}  // namespace

TEST_CASE("occupied groups are added below those of the file, comments stay", "[unit]") {
    Lines lines;
    const auto m = merge(table("239.1.0.7", "flow") + table("239.2.0.1", "say \\\"hi\\\"") + table("239.2.0.2"),
                         kFile, lines);
    CHECK(lines.empty());
    CHECK(m.known == 1);  // 239.1.0.7 lies in the range of paging
    CHECK(m.added == Lines{"239.2.0.1", "239.2.0.2"});
    const auto at = kFile.find("\n[network]");
    CHECK(m.text == kFile.substr(0, at) +
                        "\n[[occupied]]\ngroups = \"239.2.0.1\"\nwhat = \"say \\\"hi\\\"\"\n"
                        "\n[[occupied]]\ngroups = \"239.2.0.2\"\n" + kFile.substr(at));
    // A second time nothing is new.
    const auto again = merge(table("239.2.0.1") + table("239.2.0.2"), m.text, lines);
    CHECK(again.text == m.text);
    CHECK(again.known == 2);
}

TEST_CASE("the plan's own groups are not occupied by others", "[unit]") {
    Lines lines;
    const auto m = merge(table("239.2.0.1") + table("239.2.0.2") + table("ff15::8000:1"), "", lines,
                         {*parse_group("239.2.0.2"), *parse_group("ff15::8000:1")});
    CHECK(lines.empty());
    CHECK(m.own == Lines{"239.2.0.2", "ff15::8000:1"});
    CHECK(m.text == table("239.2.0.1"));
}

TEST_CASE("a file that ends without a line end or in other line ends keeps its way", "[unit]") {
    Lines lines;
    CHECK(merge(table("239.2.0.1"), "[network]", lines).text == "[network]\n\n" + table("239.2.0.1"));
    const auto m = merge(table("239.2.0.1"), "[network]\r\nigmp_version = 3\r\n", lines);
    CHECK(m.text == "[network]\r\nigmp_version = 3\r\n\r\n[[occupied]]\r\ngroups = \"239.2.0.1\"\r\n");
    CHECK(lines.empty());
}

TEST_CASE("faults of both files come together, and nothing is merged", "[input]") {
    Lines lines;
    const auto m = merge(table("10.0.0.1") + table("239.2.0.1/16"), "occupied = [ { groups = \"239.1.0.1\" } ]\n", lines);
    CHECK(m.text.empty());
    REQUIRE(lines.size() == 3);
    CHECK(lines[0].find("network.toml:1:14: error: import.inline-occupied") == 0);
    CHECK(lines[1].find("used.toml:2:10: error: addressing.bad-range") == 0);
    CHECK(lines[2].find("used.toml:4:10: error: addressing.bad-range") == 0);
    lines.clear();
    merge("# nothing\n", "", lines);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].find("used.toml:1:1: error: import.no-occupied") == 0);
}

}  // namespace merge_occupied_test
