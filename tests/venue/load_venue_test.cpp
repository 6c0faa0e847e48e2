// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "planner/venue/file_name.hpp"
#include "support/venue_texts.hpp"

using namespace mastline;
using test::load;
using Lines = std::vector<std::string>;

namespace {

const std::string kName = "[venue]\nname = \"Quarry Hall\"\n";

}  // namespace

TEST_CASE("the least venue is a name", "[unit]") {
    const auto loaded = load({{"venue.toml", kName}});
    CHECK(loaded.lines.empty());
    CHECK(loaded.venue.name == "Quarry Hall");
    CHECK(loaded.venue.place == Place{"venue.toml", 1, 1});
    CHECK(loaded.venue.rate_window.share == 0.05);
}

TEST_CASE("sections of included files add to those of venue.toml", "[unit]") {
    const auto loaded = load({{"venue.toml", kName + "include = [\"net/a.toml\", \"b.toml\"]\n"
                                                     "[[switch]]\nname = \"core\"\n"
                                                     "[[link]]\nfrom = \"core\"\nto = \"a\"\nspeed = \"1 Gbit/s\"\n"
                                                     "[[link]]\nfrom = \"core\"\nto = \"b\"\nspeed = \"1 Gbit/s\"\n"},
                              {"net/a.toml", "[[switch]]\nname = \"a\"\n"},
                              {"b.toml", "[[switch]]\nname = \"b\"\n"}});
    CHECK(loaded.lines.empty());
    REQUIRE(loaded.venue.switches.size() == 3);
    CHECK(loaded.venue.switches[1].name == "a");
    CHECK(loaded.venue.switches[1].place.file == "net/a.toml");
    CHECK(loaded.venue.switches[2].name == "b");
}

TEST_CASE("channels of the CSV list add to those of the TOML files, in order of number", "[unit]") {
    const auto loaded =
        load({{"venue.toml", kName + "channels_csv = \"c.csv\"\n"
                                     "[[input]]\nname = \"stage\"\nconnector = \"sdi\"\nrate = \"8 Mbit/s\"\n"
                                     "[[channel]]\nnumber = 5\nname = \"Five\"\ninput = \"stage\"\n"},
              {"c.csv", "number,name,input\n9,Nine,stage\n2,Two,stage\n"}});
    CHECK(loaded.lines.empty());
    Lines names;
    for (const auto& channel : loaded.venue.channels) names.push_back(channel.name);
    CHECK(names == Lines{"Two", "Five", "Nine"});
}

TEST_CASE("one table of a section that may repeat is read like a list of one", "[unit]") {
    const auto loaded = load({{"venue.toml", kName + "[switch]\nname = \"core\"\n"}});
    CHECK(loaded.lines.empty());
    CHECK(loaded.venue.switches.size() == 1);
}

TEST_CASE("a file that cannot be read keeps cross-references from being checked", "[input]") {
    const std::string zone = "[[zone]]\nname = \"foyer\"\nattached_to = \"core\"\ndisplays = 1\n";
    CHECK(load({{"venue.toml", kName + "include = [\"network.toml\"]\n" + zone}}).lines ==
          Lines{"venue.toml:3:12: error: file.missing: there is no file 'network.toml'; add the "
                "file or correct its name"});
}

TEST_CASE("without any file the first one is missed by name", "[input]") {
    CHECK(load({}).lines ==
          Lines{"venue.toml: error: file.missing: there is no file 'venue.toml'; add the file or "
                "correct its name"});
}

TEST_CASE("findings come in order of file, line and column, each once", "[input]") {
    const auto loaded = load({{"venue.toml", "[venue]\nname = \"Quarry Hall\"\ninclude = [\"a.toml\"]\n"
                                             "[[zwitch]]\n[[link]]\nspeed = \"fast\"\n"},
                              {"a.toml", "[[swich]]\n"}});
    std::vector<std::string> places;
    for (const auto& line : loaded.lines) places.push_back(line.substr(0, line.find(": ")));
    CHECK(places == Lines{"a.toml:1:3", "venue.toml:4:3", "venue.toml:5:1", "venue.toml:5:1",
                          "venue.toml:6:9"});
}

TEST_CASE("a file name inside the folder has one spelling", "[unit]") {
    CHECK(name_in_folder("network.toml") == "network.toml");
    CHECK(name_in_folder("./a//b/../c.toml") == "a/c.toml");
    CHECK(name_in_folder("a/..b/..c") == "a/..b/..c");
}

TEST_CASE("a file name that leads out of the folder or names a folder is none", "[input]") {
    for (const std::string name : {"", ".", "..", "/etc/hosts", "../x", "a/../../x", "a/", "a/..",
                                   "a/."}) {
        INFO(name);
        CHECK_FALSE(name_in_folder(name));
    }
    CHECK_FALSE(name_in_folder(std::string("a\0b", 3)));
}
