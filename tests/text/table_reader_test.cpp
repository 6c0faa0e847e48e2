// SPDX-License-Identifier: Apache-2.0
#include "mastline/text/table_reader.hpp"

#include <catch2/catch.hpp>

#include "mastline/venue/toml_file.hpp"

using namespace mastline;

namespace {

constexpr KeyDoc keys[] = {{"name", "text", true, ""},       {"loss", "gain", false, ""},
                           {"count", "whole number", false, ""}, {"on", "true or false", false, ""},
                           {"kind", "word", false, ""},      {"tags", "list of text", false, ""},
                           {"part", "tables", false, ""}};
constexpr TableDoc doc{"[[thing]]", "", keys};

// One [[thing]] read by `use`; the lines of its findings.
template <class F>
std::vector<std::string> findings_of(std::string_view text, F&& use) {
    Findings findings;
    const auto root = read_toml(text, "v.toml", findings);
    REQUIRE(root);
    TableReader reader(*root, doc, findings);
    use(reader);
    std::vector<std::string> lines;
    for (const auto& finding : findings) lines.push_back(to_line(finding));
    return lines;
}

}  // namespace

TEST_CASE("a table that is right gives its values and no finding", "[unit]") {
    const auto lines = findings_of(
        "name = 'a'\nloss = '6 dB'\ncount = 3\non = true\ntags = ['x', 'y']\n", [](TableReader& r) {
            CHECK(r.text("name") == "a");
            CHECK(r.quantity<Gain>("loss")->db() == 6);
            CHECK(r.integer("count", 0, 9) == 3);
            CHECK(r.boolean("on") == true);
            CHECK(r.texts("tags").size() == 2);
            CHECK_FALSE(r.text("kind"));
        });
    CHECK(lines.empty());
}

TEST_CASE("an unknown key is an error at the key, with the nearest known one", "[input]") {
    const auto lines = findings_of("name = 'a'\nlos = '6 dB'\n", [](TableReader&) {});
    CHECK(lines == std::vector<std::string>{"v.toml:2:1: error: file.unknown-key: unknown key 'los' "
                                            "in [[thing]]; did you mean 'loss'?"});
}

TEST_CASE("a missing required key is an error at its table", "[input]") {
    const auto lines = findings_of("count = 3\n", [](TableReader& r) { r.text("name"); });
    REQUIRE(lines.size() == 1);
    CHECK(lines[0] ==
          "v.toml:1:1: error: file.missing-key: [[thing]] has no 'name'; add name (text)");
}

TEST_CASE("each wrong value is reported at its place, all in one go", "[input]") {
    const auto lines = findings_of("name = 5\nloss = 6\ncount = 12\non = 'maybe'\n", [](TableReader& r) {
        r.text("name");
        r.quantity<Gain>("loss");
        r.integer("count", 0, 9);
        r.boolean("on");
    });
    CHECK(lines ==
          std::vector<std::string>{
              "v.toml:1:8: error: file.wrong-type: 'name' is a whole number; write a text in quotes",
              "v.toml:2:8: error: file.wrong-type: 'loss' is a whole number; write gain with its "
              "unit, in quotes",
              "v.toml:3:9: error: file.out-of-range: 'count' is 12; it must be 0 to 9",
              "v.toml:4:6: error: file.wrong-type: 'on' is a text; write true or false"});
}

TEST_CASE("a quantity below its least value is an error with both values", "[input]") {
    const auto lines = findings_of("name = 'a'\nloss = '-1 dB'\n", [](TableReader& r) {
        CHECK_FALSE(r.quantity_at_least<Gain>("loss", Gain::db(0)));
    });
    CHECK(lines == std::vector<std::string>{"v.toml:2:8: error: file.out-of-range: 'loss' is -1.0 "
                                            "dB; it must be at least 0.0 dB"});
}

TEST_CASE("a word outside its list names the nearest", "[input]") {
    static constexpr std::array<std::pair<std::string_view, int>, 2> words{{{"splitter", 1}, {"tap", 2}}};
    const auto lines = findings_of("name = 'a'\nkind = 'spliter'\n", [](TableReader& r) {
        CHECK_FALSE(r.choice<int>("kind", "device kind", words));
    });
    CHECK(lines == std::vector<std::string>{"v.toml:2:8: error: file.unknown-word: unknown device "
                                            "kind 'spliter'; did you mean 'splitter'?"});
}

TEST_CASE("a reader that asks for an undocumented key is a mistake of ours", "[unit]") {
    findings_of("name = 'a'\n", [](TableReader& r) { CHECK_THROWS(r.text("nonsense")); });
}

TEST_CASE("text that is not TOML is one error with its place", "[input]") {
    Findings findings;
    CHECK_FALSE(read_toml("a = 1\nb = [1,\n", "v.toml", findings));
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].id == "file.not-toml");
    CHECK(findings[0].place.line >= 2);
}

TEST_CASE("a CSV cell may hold a number, a truth or nothing", "[unit]") {
    tree::Table table;
    const auto add = [&](const char* key, const char* cell) {
        table.entries.push_back({key, {}, {std::string(cell), {"c.csv", 2, 1}, true}});
    };
    add("count", "7");
    add("on", "yes");
    add("loss", "");
    add("name", "");
    Findings findings;
    TableReader reader(table, doc, findings);
    CHECK(reader.integer("count", 0, 9) == 7);
    CHECK(reader.boolean("on") == true);
    CHECK_FALSE(reader.quantity<Gain>("loss"));
    CHECK(findings.empty());
    CHECK_FALSE(reader.text("name"));  // required: an empty cell is no value
    CHECK(findings.size() == 1);
}
