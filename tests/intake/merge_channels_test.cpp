// SPDX-License-Identifier: Apache-2.0
// Lists into venue files: what is not in the list stays byte for byte.
#include <catch2/catch.hpp>

#include <algorithm>

#include "mastline/text/escape.hpp"
#include "planner/intake/merge_channels.hpp"
#include "support/dice.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using Lines = std::vector<std::string>;

namespace merge_channels_test {

namespace {

const std::string kFile =
    "# Ours.\n\n[[channel]]   # the flagship\nnumber = 101\nname = \"Tarnwood\"   # since 2019\nclass = \"HD\"\n"
    "service = \"w/121\"\n\n# second\n[[channel]]\nnumber = \"5.1\"\nname = 'Fenmarch'\napart_from = [\n"
    "  \"101\",  # never together\n]\n\n[protection]\nmode = \"reserve\"\n";

struct Merged {
    MergedChannels result;
    Lines lines;
};

Merged merge(const std::string& file, std::string_view csv, SameBy same = SameBy::number) {
    Findings findings;
    const auto list = read_channel_list(csv, "list.csv", findings);
    Merged out{merge_channels(file, "channels.toml", list, same, findings), {}};
    for (const auto& f : findings) out.lines.push_back(to_line(f));
    return out;
}

}  // namespace

TEST_CASE("changed values are put in their place, comments stay", "[unit]") {
    const auto m = merge(kFile, "number,name,protected\n101,Tarnwood HD,yes\n5.1,Fenmarch,\n");
    CHECK(m.lines.empty());
    CHECK(m.result.changed == Lines{"101: name, protected"});
    CHECK(m.result.unchanged == 1);
    std::string expected = kFile;
    expected.replace(expected.find("\"Tarnwood\""), 10, "\"Tarnwood HD\"");
    expected.insert(expected.find("\n# second"), "protected = true\n");
    CHECK(m.result.text == expected);
}

TEST_CASE("merging the same list twice changes nothing the second time", "[unit]") {
    const std::string csv = "number,name,class,group\n101,A \"b\" \\ c,UHD,239.1.1.1\n102,New,SD,\n5.1,F,,239.1.1.2\n";
    const auto once = merge(kFile, csv);
    const auto twice = merge(once.result.text, csv);
    CHECK(once.result.added == Lines{"102"});
    CHECK(once.result.sourceless == Lines{"102"});
    CHECK(twice.result.text == once.result.text);
    CHECK(twice.result.unchanged == 3);
}

TEST_CASE("line ends of the file are kept", "[unit]") {
    std::string crlf;
    for (const char c : kFile) crlf += c == '\n' ? "\r\n" : std::string(1, c);
    const auto m = merge(crlf, "number,name\n101,Other\n7,New\n");
    CHECK(m.lines.empty());
    CHECK(std::count(m.result.text.begin(), m.result.text.end(), '\n') ==
          std::count(m.result.text.begin(), m.result.text.end(), '\r'));
}

TEST_CASE("known by name or group, channels keep their numbers", "[unit]") {
    const auto by_name = merge(kFile, "number,name,group\n1,TARNWOOD,239.1.1.1\n2,New,239.1.1.2\n", SameBy::name);
    CHECK(by_name.lines.empty());
    CHECK(by_name.result.changed == Lines{"101: name, group"});
    CHECK(by_name.result.added == Lines{"2"});
    CHECK(by_name.result.absent == Lines{"5.1"});
    const auto taken = merge(kFile, "number,name\n101,Another\n", SameBy::name);
    CHECK(taken.result.added == Lines{"102"});
}

TEST_CASE("sources are given by name where one alone bears it", "[unit]") {
    Findings findings;
    auto list = read_channel_list("number,name\n1,Stage\n2,News 24\n3,Twice\n", "list.csv", findings);
    give_sources(list, {{"stage", "input", "stage"}, {"News24", "service", "w/9"}, {"Twice", "service", "a"}, {"twice", "service", "b"}});
    CHECK(list.channels[0].keys["input"] == "stage");
    CHECK(list.channels[1].keys["service"] == "w/9");
    CHECK_FALSE(list.channels[2].keys.contains("service"));
}

TEST_CASE("what cannot be merged is said and nothing is merged", "[input]") {
    CHECK(merge("channel = [{ number = 1, name = \"a\" }]\n", "number,name\n1,b\n").lines ==
          Lines{"channels.toml:1:12: error: import.inline-channel: a channel written as { ... } cannot be merged; write it as a [[channel]] table"});
    CHECK(merge("[[channel]\n", "number,name\n1,b\n").lines[0].find("channels.toml:1:") == 0);
    CHECK(merge(kFile, "number\n7\n").lines ==
          Lines{"list.csv:2:1: error: import.no-name: the new channel 7 has no name; fill in its name"});
    CHECK(merge(kFile, "number,name,group\n7,a,\n", SameBy::group).lines[0].find("import.no-group") != std::string::npos);
    CHECK(merge(kFile, "number\n7\n").result.text.empty());
    // Both of the list and of the merging, each row once.
    CHECK(merge(kFile, "number,name,class\nx,a,HD\n7,,3D\n8,,\n").lines.size() == 3);
}

TEST_CASE("300 random lists into random files read back as Python's tomllib sees them", "[outside]") {
    // tomllib of Python 3.11 reads the merged files; every value of the list and every comment is there.
    test::TempFolder folder;
    std::string script = "import tomllib\n";
    for (std::uint32_t seed = 1; seed <= 300; ++seed) {
        test::Dice dice(seed);
        const auto name = [&] {
            constexpr const char* odd[] = {"A", "B \"q\"", "C \\ d", "Grüße", "# no comment", "[[x]]", "'''", "tab\tin"};
            return std::string(odd[dice.below(8)]) + std::to_string(dice.below(50));
        };
        std::string file, csv = "number,name,genre\n", checks;
        std::size_t comments = 0;
        for (std::uint32_t n = 1; n <= 8; ++n) {
            if (dice.one_in(3)) continue;
            if (dice.one_in(2)) file += "# comment " + std::to_string(n) + "\n", ++comments;
            file += "[[channel]]\nnumber = " + std::to_string(n) + (dice.one_in(2) ? "  # n" : "") + "\n";
            file += "name = " + (dice.one_in(3) ? "'''\nlong [ # \" one'''" : toml_string(name())) + "\n";
            if (dice.one_in(3)) file += "apart_from = [ \"9\",\n \"]\" ]\n";
            if (dice.one_in(2)) file += "genre = \"old\" # \"odd\n";
            if (dice.one_in(2)) file += "\n";
        }
        for (std::uint32_t n = 1; n <= 9; ++n) {
            if (dice.one_in(3)) continue;
            const std::string title = name(), genre = dice.one_in(2) ? "new" : "";
            csv += std::to_string(n) + "," + csv_field(title) + "," + genre + "\n";
            checks += "c = [c for c in d['channel'] if c['number'] == " + std::to_string(n) + "]; assert len(c) == 1 and c[0]['name'] == " +
                      toml_string(plain_line(title)) + (genre.empty() ? "" : " and c[0]['genre'] == 'new'") + ", c\n";
        }
        const auto m = merge(file, csv);
        CAPTURE(seed, file, csv, m.lines);
        REQUIRE(m.lines.empty());
        for (std::size_t n = 1; n <= 8; ++n) {
            const std::string comment = "# comment " + std::to_string(n) + "\n";
            REQUIRE((file.find(comment) != std::string::npos) == (m.result.text.find(comment) != std::string::npos));
        }
        const auto path = folder.file(std::to_string(seed) + ".toml");
        test::write_text(path, m.result.text);
        script += "d = tomllib.load(open('" + path + "', 'rb'))\n" + checks;
    }
    test::write_text(folder.file("check.py"), script);
    const auto result = test::run_command("python3 " + folder.file("check.py") + " 2>&1");
    INFO(result.output);
    CHECK(result.status == 0);
}

}  // namespace merge_channels_test
