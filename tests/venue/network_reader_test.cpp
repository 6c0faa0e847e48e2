// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "support/network_room.hpp"

using namespace mastline;
using test::network_room;
using Lines = std::vector<std::string>;

namespace network_reader_test {

namespace {

// Two switches, a link and a zone: what each broken text starts from.
const std::string kTwoSwitches = R"(
[[switch]]
name = "core-1"
querier = true
querier_address = "10.0.0.2"
[[switch]]
name = "access-1"
[[link]]
from = "core-1"
to = "access-1"
speed = "1 Gbit/s"
)";

Lines lines_of(const std::string& toml) {
    auto room = network_room(toml, {{101, 0}, {102, 0}});
    return room.lines();
}

}  // namespace

TEST_CASE("a network of two switches and a zone is read whole", "[unit]") {
    auto room = network_room(kTwoSwitches + R"(
[network]
forwarding = "routed"
zaps_per_display_second = 0.1
last_member_query_interval = "500 ms"
[[zone]]
name = "north"
attached_to = "access-1"
displays = 40
defaults = ["101", "102"]
recorded = "101"
)", {{101, 0}, {102, 0}});
    CHECK(room.lines() == Lines{});
    REQUIRE(room.venue.switches.size() == 2);
    CHECK(room.venue.switches[0].querier_address == IpAddress::v4(0x0A000002));
    REQUIRE(room.venue.links.size() == 1);
    CHECK(room.venue.links[0].name == "core-1/access-1");
    CHECK(room.venue.links[0].speed == megabits_per_second(1000));
    REQUIRE(room.venue.zones.size() == 1);
    CHECK(room.venue.zones[0].displays == 40);
    CHECK(room.venue.zones[0].defaults.size() == 2);
    CHECK(room.venue.zones[0].recorded.size() == 1);
    CHECK(room.venue.network.forwarding == Forwarding::routed);
    CHECK(room.venue.network.last_member_query_interval == std::chrono::milliseconds(500));
}

TEST_CASE("an addressing policy is read whole", "[unit]") {
    auto room = network_room(R"(
[addressing]
reserved = ["239.192.9.0/24"]
scheme = "by-number"
port = 5004
encapsulation = "rtp"
vlan = 120
own_prefixes = ["192.0.2.0/24", "2001:db8:1::/48"]
[[addressing.range]]
groups = "239.192.0.0/16"
[[addressing.range]]
groups = "ff35::8000:0/97"
tag = "sport"
[addressing.fec]
columns = 20
rows = 5
classes = ["uhd", "HD"]
[[occupied]]
groups = "239.192.1.1-239.192.1.9"
what = "paging"
)");
    CHECK(room.lines() == Lines{});
    const auto& p = room.venue.addressing;
    REQUIRE(p.ranges.size() == 2);
    CHECK(to_text(span_of(p.ranges[0])) == "239.192.0.0-239.192.255.255");
    CHECK(to_text(span_of(p.ranges[1])) == "ff35::8000:0-ff35::ffff:ffff");
    CHECK(p.ranges[1].tag == "sport");
    REQUIRE(p.fec);
    CHECK(p.fec->columns == 20);
    CHECK(p.fec->classes == std::vector{PictureClass::uhd, PictureClass::hd});
    CHECK(p.own_prefixes.size() == 2);
    REQUIRE(room.venue.occupied.size() == 1);
    CHECK(room.venue.occupied[0].what == "paging");
}

TEST_CASE("a link to an unknown switch names the nearest one", "[input]") {
    CHECK(lines_of(kTwoSwitches + "[[link]]\nfrom = \"core-1\"\nto = \"acess-1\"\nspeed = \"1 Gbit/s\"\n") ==
          Lines{"venue.toml:14:6: error: network.unknown-switch: unknown switch 'acess-1'; did you "
                "mean 'access-1'?"});
}

TEST_CASE("a link to itself is refused", "[input]") {
    CHECK(lines_of(kTwoSwitches + "[[link]]\nfrom = \"core-1\"\nto = \"core-1\"\nspeed = \"1 Gbit/s\"\n") ==
          Lines{"venue.toml:14:6: error: network.link-to-itself: link 'core-1/core-1' leads from "
                "switch 'core-1' to itself; name the switch at its other end"});
}

TEST_CASE("a network in two pieces is refused, naming the piece", "[input]") {
    CHECK(lines_of(kTwoSwitches + "[[switch]]\nname = \"lobby\"\n[[switch]]\nname = \"bar\"\n"
                   "[[link]]\nfrom = \"lobby\"\nto = \"bar\"\nspeed = \"1 Gbit/s\"\n") ==
          Lines{"venue.toml:12:1: error: network.in-pieces: no chain of links joins 'lobby', 'bar' "
                "to 'core-1'; add the missing [[link]]"});
}

TEST_CASE("a link whose speed is wrong still joins, and a name twice makes no second piece", "[input]") {
    CHECK(lines_of(kTwoSwitches + "[[switch]]\nname = \"lobby\"\n[[switch]]\nname = \"lobby\"\n"
                   "[[link]]\nfrom = \"lobby\"\nto = \"core-1\"\nspeed = \"0 Mbit/s\"\n") ==
          Lines{"venue.toml:19:9: error: file.out-of-range: 'speed' is 0 Mbit/s; it must be at least 0.001 Mbit/s",
                "venue.toml:14:1: error: network.name-twice: second switch named 'lobby'; the first is at "
                "venue.toml:12:1; give each its own name"});
}

TEST_CASE("a speed beyond any link is refused", "[input]") {
    CHECK(lines_of(kTwoSwitches + "[[link]]\nname = \"second\"\nfrom = \"core-1\"\nto = \"access-1\"\n"
                   "speed = \"100001 Gbit/s\"\n") ==
          Lines{"venue.toml:16:9: error: file.out-of-range: 'speed' is 100001000 Mbit/s; it must be at most 100000 Gbit/s"});
    CHECK(lines_of(kTwoSwitches + "[[link]]\nname = \"second\"\nfrom = \"core-1\"\nto = \"access-1\"\n"
                   "speed = \"100000 Gbit/s\"\nmembers = 16\n").empty());
}

TEST_CASE("bridges with one address, or that of a group, are refused", "[input]") {
    CHECK(lines_of(kTwoSwitches + "[[switch]]\nname = \"lobby\"\nmac = \"02:00:00:00:00:07\"\n"
                   "[[switch]]\nname = \"bar\"\nmac = \"02-00-00-00-00-07\"\n"
                   "[[switch]]\nname = \"gym\"\nmac = \"01:80:c2:00:00:00\"\n"
                   "[[link]]\nfrom = \"lobby\"\nto = \"core-1\"\nspeed = \"1 Gbit/s\"\n"
                   "[[link]]\nfrom = \"bar\"\nto = \"core-1\"\nspeed = \"1 Gbit/s\"\n"
                   "[[link]]\nfrom = \"gym\"\nto = \"core-1\"\nspeed = \"1 Gbit/s\"\n") ==
          Lines{"venue.toml:18:1: error: network.mac-of-group: switch 'gym' has the address of a group, "
                "01:80:c2:00:00:00; give the switch's own bridge address",
                "venue.toml:15:1: error: network.macs-alike: switches 'lobby' and 'bar' both have the address "
                "02:00:00:00:00:07; give each its own bridge address, or none"});
}

TEST_CASE("ports that hosts take at will do not end before they begin", "[input]") {
    CHECK(lines_of("[addressing]\ndynamic_port_first = 60000\ndynamic_port_last = 50000\n"
                   "[[addressing.range]]\ngroups = \"239.192.0.0/16\"\n") ==
          Lines{"venue.toml:3:21: error: addressing.dynamic-ports-backwards: the ports that hosts take at will end at "
                "50000, before their first, 60000; put the lower one first"});
}

TEST_CASE("a zone's faults are told together", "[input]") {
    CHECK(lines_of(kTwoSwitches + "[[zone]]\nname = \"north\"\nattached_to = \"access-2\"\n"
                   "displays = -1\ndefaults = [\"101\", \"1002\"]\ncolour = \"red\"\n") ==
          Lines{"venue.toml:15:12: error: file.out-of-range: 'displays' is -1; it must be 0 to "
                "1000000",
                "venue.toml:17:1: error: file.unknown-key: unknown key 'colour' in [[zone]]; known: "
                "name, attached_to, displays, port_speed, tagged, defaults, recorded",
                "venue.toml:16:20: error: network.unknown-channel: no channel has the number "
                "'1002'; did you mean '102'?",
                "venue.toml:14:15: error: network.unknown-switch: unknown switch 'access-2'; did "
                "you mean 'access-1'?"});
}

TEST_CASE("two queriers that cannot tell each other apart are refused", "[input]") {
    CHECK(lines_of(kTwoSwitches + "[[switch]]\nname = \"core-2\"\nquerier = true\n"
                   "querier_address = \"10.0.0.2\"\n"
                   "[[link]]\nfrom = \"core-1\"\nto = \"core-2\"\nspeed = \"10 Gbit/s\"\n") ==
          Lines{"venue.toml:12:1: error: network.queriers-share-address: switches 'core-1' and "
                "'core-2' both query from 10.0.0.2; give each querier its own querier_address"});
    CHECK(lines_of("[[switch]]\nname = \"a\"\nquerier = true\n[[switch]]\nname = \"b\"\n"
                   "querier = true\n[[link]]\nfrom = \"a\"\nto = \"b\"\nspeed = \"10 Gbit/s\"\n") ==
          Lines{"venue.toml:4:1: error: network.queriers-without-address: switches 'a' and 'b' "
                "both query from 0.0.0.0, so neither gives way to the other; give each querier a "
                "querier_address"});
}

TEST_CASE("an address that nothing can send from is refused where it stands", "[input]") {
    CHECK(lines_of("[[switch]]\nname = \"core\"\nquerier = true\nquerier_address = \"127.0.0.1\"\n") ==
          Lines{"venue.toml:4:19: error: network.bad-querier-address: a querier cannot send from 127.0.0.1; give the "
                "switch's own address in the VLAN of the streams"});
}

TEST_CASE("broken group ranges say what would be right", "[input]") {
    const auto line = [](const std::string& groups) {
        const auto lines = lines_of("[addressing]\n[[addressing.range]]\ngroups = \"" + groups + "\"\n");
        REQUIRE(lines.size() == 1);
        return lines[0];
    };
    CHECK(line("10.20.0.0/16") ==
          "venue.toml:3:10: error: addressing.bad-range: 'groups': \"10.20.0.0/16\" is not a range "
          "of multicast groups; groups are 224.0.0.0/4 and ff00::/8");
    CHECK(line("239.192.0.1/16") ==
          "venue.toml:3:10: error: addressing.bad-range: 'groups': \"239.192.0.1/16\" has host bits "
          "set; write \"239.192.0.0/16\"");
    CHECK(line("239.1.0.9-239.1.0.1") ==
          "venue.toml:3:10: error: addressing.bad-range: 'groups': \"239.1.0.9-239.1.0.1\" runs "
          "backwards; write \"239.1.0.1-239.1.0.9\"");
    CHECK(line("239.1.0.9-ff35::1") ==
          "venue.toml:3:10: error: addressing.bad-range: 'groups': \"239.1.0.9-ff35::1\" mixes IPv4 "
          "and IPv6");
    CHECK(line("239.1.0.0/33") ==
          "venue.toml:3:10: error: addressing.bad-range: 'groups': \"239.1.0.0/33\" has no prefix "
          "length of 0 to 32 after the stroke");
    CHECK(line("ff35::/16") ==
          "venue.toml:3:10: error: addressing.wide-ipv6-range: 'groups': \"ff35::/16\" is wider than "
          "the 32 bits that tell IPv6 groups apart; name one prefix of 96 bits or more, such as "
          "\"ff35::8000:0/97\"");
}

TEST_CASE("overlapping ranges are refused, reserved ones too", "[input]") {
    CHECK(lines_of("[addressing]\nreserved = [\"239.1.1.0/24\", \"239.1.1.9\"]\n"
                   "[[addressing.range]]\ngroups = \"239.1.0.0/16\"\n"
                   "[[addressing.range]]\ngroups = \"239.0.0.0-239.1.0.0\"\n") ==
          Lines{"venue.toml:2:29: error: addressing.ranges-overlap: reserved range 239.1.1.9 "
                "overlaps 239.1.1.0-239.1.1.255; make the two ranges apart, or one",
                "venue.toml:6:10: error: addressing.ranges-overlap: range 239.0.0.0-239.1.0.0 "
                "overlaps 239.1.0.0-239.1.255.255; make the two ranges apart, or one"});
}

TEST_CASE("FEC without RTP, or on too large a matrix, is refused", "[input]") {
    CHECK(lines_of("[addressing]\n[[addressing.range]]\ngroups = \"239.1.0.0/16\"\n"
                   "[addressing.fec]\ncolumns = 11\n") ==
          Lines{"venue.toml:4:1: error: addressing.fec-matrix: a matrix of 11 x 10 has more than "
                "100 datagrams; make columns x rows 100 or less",
                "venue.toml:4:1: error: addressing.fec-needs-rtp: FEC needs RTP; set encapsulation "
                "= \"rtp\" or leave [addressing.fec] out"});
}

TEST_CASE("source-specific groups need IGMPv3", "[input]") {
    CHECK(lines_of("[addressing]\nsource_specific = true\n[[addressing.range]]\n"
                   "groups = \"232.1.0.0/16\"\n[network]\nigmp_version = 2\n") ==
          Lines{"venue.toml:1:1: error: addressing.source-specific-needs-v3: source_specific needs "
                "IGMPv3, the network is said to run IGMPv2; set igmp_version = 3 in [network]"});
}

TEST_CASE("a query response as long as the query interval is refused", "[input]") {
    CHECK(lines_of("[network]\nquery_interval = \"10 s\"\n") ==
          Lines{"venue.toml:1:1: error: network.query-response-too-long: 'query_response' is 10 s, "
                "not less than the query interval of 10 s; make it shorter"});
}

}  // namespace network_reader_test
