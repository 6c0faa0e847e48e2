// SPDX-License-Identifier: Apache-2.0
#include "mastline/sheets/playlist.hpp"

#include <catch2/catch.hpp>
#include <pugixml.hpp>

using namespace mastline;

namespace {

ExpectedLineup two_streams() {
    Expectation a;
    a.channel = "101";
    a.name = "News & <Weather>";
    a.flow = {*parse_group("239.192.1.1"), UdpPort{5004}};
    Expectation b = a;
    b.channel = "102";
    b.copy = 2;
    b.name = "Bell\a";
    b.flow = {*parse_group("ff3e::8000:102"), UdpPort{5006}};
    b.source = parse_ip_address("2001:db8::11").value();
    b.source_specific = true;
    b.encapsulation = Encapsulation::rtp;
    return {"Harbour \"Arena\"", "", {a, b}};
}

}  // namespace

TEST_CASE("the playlist is well-formed XSPF with one track per stream", "[unit]") {
    pugi::xml_document document;
    REQUIRE(document.load_string(write_playlist(two_streams()).c_str()));
    const auto playlist = document.child("playlist");
    CHECK(std::string(playlist.attribute("xmlns").value()) == "http://xspf.org/ns/0/");
    CHECK(std::string(playlist.attribute("version").value()) == "1");
    CHECK(std::string(playlist.child_value("title")) == "Harbour \"Arena\"");
    const auto first = playlist.child("trackList").child("track");
    CHECK(std::string(first.child_value("location")) == "udp://@239.192.1.1:5004");
    CHECK(std::string(first.child_value("title")) == "101 News & <Weather>");
    CHECK(std::string(first.child_value("trackNum")) == "1");
    const auto second = first.next_sibling("track");
    CHECK(std::string(second.child_value("location")) ==
          "rtp://[2001:db8::11]@[ff3e::8000:102]:5006");
    CHECK(std::string(second.child_value("title")) == "102 Bell\uFFFD (copy 2)");
}

TEST_CASE("an empty lineup is an empty track list", "[unit]") {
    pugi::xml_document document;
    REQUIRE(document.load_string(write_playlist({}).c_str()));
    CHECK(document.child("playlist").child("trackList"));
    CHECK_FALSE(document.child("playlist").child("trackList").first_child());
}
