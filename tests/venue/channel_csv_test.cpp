// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/venue/channel_csv.hpp"
#include "support/lineup_room.hpp"

using namespace mastline;
using test::lineup_room;
using Lines = std::vector<std::string>;

namespace channel_csv_test {

namespace {

const std::string kSources = R"(
[[input]]
name = "lobby"
connector = "hdmi"
rate = "6 Mbit/s"
)";

Lines cells(std::string_view csv) {
    Findings findings;
    Lines out;
    for (const auto& row : read_csv(csv, "l.csv", findings))
        for (const auto& field : row.fields) out.push_back(field.text);
    for (const auto& f : findings) out.push_back(to_line(f));
    return out;
}

}  // namespace

TEST_CASE("a quoted field holds separators, quotes and line breaks (RFC 4180 section 2)", "[outside]") {
    // The field forms of RFC 4180, section 2, rules 5 to 7.
    CHECK(cells("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx") ==
          Lines{"aaa", "bbb", "ccc", "zzz", "yyy", "xxx"});
    CHECK(cells("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx") ==
          Lines{"aaa", "b\nbb", "ccc", "zzz", "yyy", "xxx"});
    CHECK(cells("\"aaa\",\"b\"\"bb\",\"ccc\"") == Lines{"aaa", "b\"bb", "ccc"});
}

TEST_CASE("byte order mark, CRLF, lone CR, LF and a missing last line end are all taken", "[unit]") {
    const Lines expected{"a", "b", "1", "2"};
    CHECK(cells("\xEF\xBB\xBF" "a,b\r\n1,2\r\n") == expected);
    CHECK(cells("a,b\r1,2\r") == expected);
    CHECK(cells("a,b\n1,2") == expected);
    CHECK(cells("a;b\n1;2\n;\n\n") == expected);
    CHECK(cells("a\tb\n1\t2\n") == expected);
}

TEST_CASE("places in a list count lines inside quoted fields, and characters, not bytes", "[unit]") {
    Findings findings;
    const auto rows = read_csv("\"n\nm\",x\né,y\n", "l.csv", findings);
    REQUIRE(rows.size() == 2);
    CHECK(to_text(rows[0].fields[1].place) == "l.csv:2:4");
    CHECK(to_text(rows[1].fields[1].place) == "l.csv:3:3");
}

TEST_CASE("a channel list serves as well as the tables it stands for", "[unit]") {
    auto room = lineup_room(kSources,
                            "Number,Name,Class,Genre,Input,Protected,Apart from\r\n"
                            "7,\"Lobby, left\",hd,info,lobby,yes,8\r\n"
                            "8,Lobby right,SD,info,lobby,,\"7, 9\"\r\n"
                            "9,Lobby radio,radio,,lobby,no,\r\n");
    CHECK(room.lines() == Lines{});
    REQUIRE(room.venue.channels.size() == 3);
    CHECK(room.venue.channels[0].name == "Lobby, left");
    CHECK(room.venue.channels[0].is_protected);
    CHECK(room.venue.channels[1].picture == PictureClass::sd);
    CHECK(room.venue.channels[1].apart_from.size() == 2);
    CHECK(room.venue.channels[2].picture == PictureClass::radio);
    CHECK(room.venue.channels[2].genre.empty());
}

TEST_CASE("faults in a channel list are reported at their cells, all in one go", "[input]") {
    auto room = lineup_room(kSources,
                            "number;nam;input;input\n"
                            "7;Lobby;lobby;\n"
                            "x;Bar;lobbi;;surplus\n");
    CHECK(room.lines() ==
          Lines{"channels.csv:1:18: error: file.duplicate-column: column 'input' stands twice; leave "
                "one out",
                "channels.csv:2:1: error: file.missing-key: [[channel]] has no 'name'; add name (text)",
                "channels.csv:3:1: error: file.missing-key: [[channel]] has no 'name'; add name (text)",
                "channels.csv:3:14: error: file.surplus-field: the row has a field 'surplus' beyond "
                "the last column; the header has 4 columns; quote a field that holds the separator",
                "channels.csv:1:8: error: file.unknown-column: unknown column 'nam'; did you mean "
                "'name'?",
                "channels.csv:3:1: error: lineup.bad-number: 'x' is no channel number; write a number "
                "from 1, with a sub-channel if there is one: 101 or \"5.1\""});
}

TEST_CASE("quotes that do not close and bytes that are no UTF-8 are errors with places", "[input]") {
    CHECK(cells("a,b\n1,\"open\n") ==
          Lines{"a", "b", "1", "open",
                "l.csv:2:3: error: file.open-quote: a quoted field has no closing quote; end it with "
                "\"; a quote inside is written twice"});
    CHECK(cells("a,b\n\"1\"x,2\n").back() ==
          "l.csv:2:4: error: file.text-after-quote: text follows a closing quote; quote the whole "
          "field; a quote inside is written twice");
    CHECK(cells("a,b\n1,\xE9t\xE9\n").back() ==
          "l.csv:2:3: error: file.not-utf8: the field is no UTF-8 text; save the list as CSV in UTF-8");
}

TEST_CASE("an empty channel list says what its first row should be", "[input]") {
    Findings findings;
    CHECK(read_channel_csv("\xEF\xBB\xBF\r\n", "l.csv", findings).empty());
    REQUIRE(findings.size() == 1);
    CHECK(to_line(findings[0]) ==
          "l.csv:1:1: error: file.empty-list: the channel list is empty; its first row names the "
          "columns: number,name,service,...");
}

}  // namespace channel_csv_test
