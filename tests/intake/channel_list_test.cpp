// SPDX-License-Identifier: Apache-2.0
// Channel lists as engineers are handed them.
#include <catch2/catch.hpp>

#include "mastline/sheets/sheets.hpp"
#include "planner/intake/channel_list.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"
#include "tests/support/demo_plan.hpp"

using namespace mastline;
using Keys = std::map<std::string, std::string>;
using Lines = std::vector<std::string>;

namespace {

struct Read {
    ChannelList list;
    Lines lines;
};

Read read(std::string_view csv) {
    Findings findings;
    Read out{read_channel_list(csv, "list.csv", findings), {}};
    for (const auto& f : findings) out.lines.push_back(to_line(f));
    return out;
}

}  // namespace

TEST_CASE("columns are found by the words of their headers", "[unit]") {
    const auto r = read("Ch.;Station;Definition;Multicast address;UDP port;Must carry;Price\r\n"
                        "101;Tarnwood;1080i;239.192.1.3;5004;x;4,50\r\n");
    CHECK(r.lines.empty());
    REQUIRE(r.list.channels.size() == 1);
    CHECK(r.list.channels[0].keys == Keys{{"number", "101"}, {"name", "Tarnwood"}, {"class", "HD"},
                                          {"group", "239.192.1.3"}, {"port", "5004"}, {"protected", "true"}});
    CHECK(r.list.unmapped == Lines{"Price"});
    CHECK(r.list.columns.front() == "number from 'Ch.'");
}

TEST_CASE("'Channel' is a number or a name by what stands below it", "[unit]") {
    CHECK(read("Channel,Title\n7,News\n").list.channels[0].keys == Keys{{"number", "7"}, {"name", "News"}});
    CHECK(read("LCN,Channel\n7,News\n").list.channels[0].keys == Keys{{"number", "7"}, {"name", "News"}});
}

TEST_CASE("a title may stand above the headers", "[unit]") {
    const auto r = read("Channel list of the arena,,\n,,\nNumber,Station,Quality\n7,News,HD\n");
    CHECK(r.lines.empty());
    REQUIRE(r.list.channels.size() == 1);
    CHECK(r.list.channels[0].keys == Keys{{"number", "7"}, {"name", "News"}, {"class", "HD"}});
    CHECK(r.list.channels[0].place.line == 4);
    CHECK(read("Channels\nNumber;Name\n7;A, B\n").list.channels[0].keys == Keys{{"number", "7"}, {"name", "A, B"}});
    CHECK(read("Plan,Number\n1,2\n3,4\n").list.channels.size() == 2);  // one header word alone: the first row all the same
}

TEST_CASE("a cell of several lines is read as one", "[unit]") {
    CHECK(read("number,name\n1,\"News \r\n  and\tSport\x01\"\n").list.channels[0].keys["name"] == "News and Sport");
}

TEST_CASE("a source is a service or an input by its form, and a second copy is no second channel", "[unit]") {
    const auto r = read("Number,Name,Service or input,Copy,Card input\n1,A,s1-1012/112,1,2\n1,A,s1-1012/112,2,1\n2,B,scoreboard,1,1\n");
    CHECK(r.lines.empty());
    REQUIRE(r.list.channels.size() == 2);
    CHECK(r.list.channels[0].keys == Keys{{"number", "1"}, {"name", "A"}, {"service", "s1-1012/112"}});
    CHECK(r.list.channels[1].keys == Keys{{"number", "2"}, {"name", "B"}, {"input", "scoreboard"}});
    CHECK(r.list.unmapped == Lines{"Card input"});
}

TEST_CASE("the channel map that the planner writes is read back", "[unit]") {
    const auto [venue, plan] = sample::demo();
    const auto r = read(channels_csv(venue, plan));
    CHECK(r.lines.empty());
    REQUIRE(r.list.channels.size() == venue.channels.size());
    for (const auto& channel : venue.channels) {
        const auto found = std::find_if(r.list.channels.begin(), r.list.channels.end(), [&](const auto& l) { return l.number == channel.number; });
        REQUIRE(found != r.list.channels.end());
        auto keys = found->keys;
        CHECK(keys["name"] == channel.name);
        CHECK(keys["service"] == channel.service);
        CHECK(keys["input"] == channel.input);
        CHECK(keys["genre"] == channel.genre);
        CHECK(keys["protected"] == (channel.is_protected ? "true" : ""));
    }
}

TEST_CASE("numbers as spreadsheets spoil them are understood", "[unit]") {
    const auto r = read("number;name\n5,1;A\n101.0;B\n7-2;C\n");
    CHECK(r.lines.empty());
    CHECK(r.list.channels[0].number == ChannelNumber{5, 1});
    CHECK(r.list.channels[1].number == ChannelNumber{101, 0});
    CHECK(r.list.channels[2].number == ChannelNumber{7, 2});
}

TEST_CASE("the apostrophe that guards a formula is taken off again", "[unit]") {
    CHECK(read("number,name\n1,'=Sum\n2,'s Nachts\n").list.channels[0].keys["name"] == "=Sum");
    CHECK(read("number,name\n2,'s Nachts\n").list.channels[0].keys["name"] == "'s Nachts");
}

TEST_CASE("a picture class is told by the lines of a format", "[unit]") {
    const auto r = read("number,format\n1,1080i50\n2,2160p59.94\n3,576p\n4,1920x1080\n5,720p60\n6,1080p60x\n7,50\n8,12x\n");
    const char* classes[] = {"HD", "UHD", "SD", "HD", "HD"};
    for (std::size_t i = 0; i < 5; ++i) CHECK(r.list.channels[i].keys.at("class") == classes[i]);
    CHECK(r.lines.size() == 3);
}

TEST_CASE("a group may bring its port, that of the port's own column goes first", "[unit]") {
    const auto r = read("number,group\n1,239.1.1.1:5000\n");
    CHECK(r.list.channels[0].keys.at("group") == "239.1.1.1");
    CHECK(r.list.channels[0].keys.at("port") == "5000");
    CHECK(read("number,port,group\n1,7000,239.1.1.1:5000\n").list.channels[0].keys.at("port") == "7000");
    CHECK(read("number,group,port\n1,239.1.1.1:5000,7000\n").list.channels[0].keys.at("port") == "7000");
    CHECK(read("number,group\n1,239.1.1.1:99999\n").lines[0].find("import.bad-group") != std::string::npos);
}

TEST_CASE("a field under no header is no channel's and said", "[input]") {
    CHECK(read("number,name\n1,Sport, live\n2,B,\n").lines ==
          Lines{"list.csv:2:9: error: import.surplus-field: 'live' stands beyond the last column; quote a field that holds the separator, or head the column"});
}

TEST_CASE("every cell that cannot be understood is named, all at once", "[input]") {
    const auto r = read("number,name,class,group,port,protected\nx,A,3D,10.1.1.1,0,maybe\n5,B,,,,\n5,C,,,,\n");
    CHECK(r.lines ==
          Lines{"list.csv:2:1: error: import.bad-number: 'x' is no channel number; write 101, or 5.1 for a sub-channel",
                "list.csv:2:5: error: import.bad-class: '3D' is no picture class; write SD, HD, UHD or radio",
                "list.csv:2:8: error: import.bad-group: '10.1.1.1' is no multicast group; write a multicast address: 239.192.10.20",
                "list.csv:2:17: error: import.bad-port: '0' is no UDP port; write a whole number from 1 to 65535",
                "list.csv:2:19: error: import.bad-protected: 'maybe' is no yes or no; write yes or no",
                "list.csv:4:1: error: import.number-twice: channel number 5 stands in row 3 already; give every channel its own number"});
    CHECK(read("").lines == Lines{"list.csv:1:1: error: import.empty-list: the list is empty; its first row names the columns: number, name, ..."});
    CHECK(read("price,date\n1,2\n").lines[0].find("import.no-columns") != std::string::npos);
}

TEST_CASE("what Python's csv module writes is read field by field", "[outside]") {
    // Python 3 csv, excel and unix dialects: quotes, separators and line ends in fields.
    test::TempFolder folder;
    test::write_text(folder.file("make.py"), R"(import csv, sys
rows = [["number", "name", "remark"], [1, 'a "quoted" one', "x;y"], [2, "comma, here", " tail"], [3, "Grüße 東京", ""]]
for dialect in ("excel", "unix", "excel-tab"):
    with open(sys.argv[1] + "/" + dialect, "w", newline="", encoding="utf-8") as f:
        csv.writer(f, dialect).writerows(rows)
)");
    REQUIRE(test::run_command("python3 " + folder.file("make.py") + " " + folder.file("")).status == 0);
    for (const auto* dialect : {"excel", "unix", "excel-tab"}) {
        auto r = read(test::read_text(folder.file(dialect)));
        INFO(dialect);
        CHECK(r.lines.empty());
        REQUIRE(r.list.channels.size() == 3);
        CHECK(r.list.channels[0].keys["name"] == "a \"quoted\" one");
        CHECK(r.list.channels[0].keys["remark"] == "x;y");
        CHECK(r.list.channels[1].keys["name"] == "comma, here");
        CHECK(r.list.channels[2].keys["name"] == "Grüße 東京");
    }
}
