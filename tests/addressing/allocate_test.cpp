// SPDX-License-Identifier: Apache-2.0
#include "mastline/addressing/allocate.hpp"

#include <catch2/catch.hpp>
#include <set>

#include "support/dice.hpp"
#include "support/lineup_stub.hpp"

using namespace mastline;
using test::group;
using test::ids;
using test::lineup;
using test::numbers;
using test::range;
using Strings = std::vector<std::string>;

namespace {

Strings flows(test::Lineup& l, const AddressHistory& history = {}) {
    Strings out;
    for (const auto& c : allocate(l.venue, l.assignment, history, l.findings).carriages)
        out.push_back(to_text(c.flow));
    return out;
}

}  // namespace

TEST_CASE("sequential groups follow the channel numbers and step over what is taken", "[unit]") {
    auto l = lineup({{7, 0}, {3, 0}, {5, 1}});
    l.venue.addressing.ranges = {range("239.192.0.0/16")};
    l.venue.addressing.reserved = {range("239.192.0.0/24")};
    l.venue.occupied = {{range("224.64.1.1"), "paging"}};  // 01:00:5e:40:01:01, as 239.192.1.1
    CHECK(flows(l) == Strings{"239.192.1.3:5004", "239.192.1.0:5004", "239.192.1.2:5004"});
    CHECK(l.findings.empty());
}

TEST_CASE("groups by number show the channel number", "[unit]") {
    auto l = lineup({{101, 0}, {5, 1}, {1234, 0}, {7, 0}});
    l.venue.addressing.scheme = GroupScheme::by_number;
    l.venue.addressing.ranges = {range("239.192.0.0/16")};
    CHECK(flows(l) == Strings{"239.192.1.1:5004", "239.192.5.1:5004", "239.192.12.34:5004",
                              "239.192.0.7:5004"});
    l.venue.addressing.ranges = {range("239.192.9.0/24")};
    CHECK(flows(l) == Strings{"239.192.9.101:5004", "239.192.9.255:5004", "239.192.9.254:5004",
                              "239.192.9.7:5004"});
    CHECK(ids(l.findings) == Strings{"note addressing.number-not-shown", "note addressing.number-not-shown"});
    l.venue.addressing.ranges = {range("ff15::8000:0/97")};
    CHECK(flows(l) == Strings{"[ff15::8000:101]:5004", "[ff15::8005:1]:5004",
                              "[ff15::8000:1234]:5004", "[ff15::8000:7]:5004"});
}

TEST_CASE("a number that makes no group leaves alone what other numbers would make", "[unit]") {
    auto l = lineup({{5, 300}, {101, 0}, {10101, 0}, {3, 0}});
    l.assignment.homes.push_back({.channel = 1, .copy = 2});
    l.venue.addressing.scheme = GroupScheme::by_number;
    l.venue.addressing.ranges = {range("239.192.0.0/16")};
    l.venue.addressing.reserved = {range("239.192.0.3")};
    // The second copy of 101 has no number of its own; 10101 would be 239.192.101.1.
    CHECK(flows(l) == Strings{"239.192.255.254:5004", "239.192.1.1:5004", "239.192.101.1:5004",
                              "239.192.255.255:5004", "239.192.255.253:5004"});
    REQUIRE(l.findings.size() == 2);
    CHECK(to_line(l.findings[0]) ==
          "note: addressing.number-not-shown: channel 3: 239.192.0.3, which shows its number, is "
          "reserved or ruled out; it has 239.192.255.255; widen the range, or pin its group");
    CHECK(l.findings[1].what == "no range has a group that shows its number; it has 239.192.255.254");
    l.findings.clear();
    l.venue.addressing.reserved.clear();
    l.venue.occupied = {{range("224.64.0.3"), "paging"}};  // 01:00:5e:40:00:03, as 239.192.0.3
    flows(l);
    CHECK(l.findings[0].what ==
          "239.192.0.3, which shows its number, is taken, or a switch confuses it with a group that "
          "is; it has 239.192.255.255");
}

TEST_CASE("groups by number do not depend on who comes and goes", "[unit]") {
    auto all = lineup({{101, 0}, {102, 0}, {103, 0}});
    auto some = lineup({{103, 0}, {101, 0}});
    for (auto* l : {&all, &some}) {
        l->venue.addressing.scheme = GroupScheme::by_number;
        l->venue.addressing.ranges = {range("239.192.0.0/16")};
    }
    CHECK(flows(all) == Strings{"239.192.1.1:5004", "239.192.1.2:5004", "239.192.1.3:5004"});
    CHECK(flows(some) == Strings{"239.192.1.3:5004", "239.192.1.1:5004"});
}

TEST_CASE("groups by tag come from the range of the channel's genre or picture class", "[unit]") {
    auto l = lineup(numbers(101, 4));
    l.venue.channels[0].genre = "sport";
    l.venue.channels[1].picture = PictureClass::uhd;
    l.venue.channels[3].genre = "sport";
    l.venue.addressing.scheme = GroupScheme::by_tag;
    l.venue.addressing.ranges = {range("239.192.1.0/24"), range("239.192.2.1-239.192.2.1", "sport"),
                                 range("239.192.3.0/24", "UHD")};
    CHECK(flows(l) == Strings{"239.192.2.1:5004", "239.192.3.0:5004", "239.192.1.0:5004",
                              "239.192.1.1:5004"});
}

TEST_CASE("a channel of two tags makes room for one that has no choice", "[unit]") {
    auto l = lineup(numbers(101, 2));
    l.venue.channels[0].genre = l.venue.channels[1].genre = "sport";
    l.venue.channels[0].picture = PictureClass::uhd;
    l.venue.addressing.scheme = GroupScheme::by_tag;
    l.venue.addressing.ranges = {range("239.192.2.1", "sport"), range("239.192.3.1", "uhd")};
    CHECK(flows(l) == Strings{"239.192.3.1:5004", "239.192.2.1:5004"});
    CHECK(l.findings.empty());
}

TEST_CASE("a full range of a tag is warned of, and exhaustion names the ranges that lack", "[unit]") {
    auto l = lineup(numbers(101, 5));
    for (const auto i : {0, 1, 2}) l.venue.channels[static_cast<std::size_t>(i)].genre = "sport";
    l.venue.addressing.scheme = GroupScheme::by_tag;
    l.venue.addressing.ranges = {range("239.192.2.0-239.192.2.1", "sport"),
                                 range("239.192.1.0-239.192.1.7")};
    CHECK(flows(l) == Strings{"239.192.2.0:5004", "239.192.2.1:5004", "239.192.1.0:5004",
                              "239.192.1.1:5004", "239.192.1.2:5004"});
    REQUIRE(l.findings.size() == 1);
    CHECK(to_line(l.findings[0]) ==
          "warning: addressing.tag-full: channel 103: 239.192.2.0-239.192.2.1 (sport) has no group "
          "left for it; it has 239.192.1.0 (1 group); widen the range by 1 group or more");
    l.findings.clear();
    l.venue.addressing.ranges[1] = range("239.192.1.0/24", "news");
    CHECK(flows(l) == Strings{"239.192.2.0:5004", "239.192.2.1:5004"});
    REQUIRE(l.findings.size() == 2);
    CHECK(to_line(l.findings[0]) ==
          "error: addressing.no-range-for-tag: channel 104: no range has the tag HD, and none is "
          "without a tag, for it and 1 more (2 groups); add an [[addressing.range]] without tag");
    CHECK(to_line(l.findings[1]) ==
          "error: addressing.exhausted: channel 103: no group is left for it; "
          "239.192.2.0-239.192.2.1 (sport) can give 2 groups that no switch confuses, 3 are needed "
          "(1 group); add an [[addressing.range]] of 1 group or more without tag, or with the tag HD "
          "or sport");
}

TEST_CASE("a pinned group is kept, and others make way for it", "[unit]") {
    auto l = lineup(numbers(101, 3));
    l.venue.channels[2].group = group("239.64.1.0");  // 01:00:5e:40:01:00
    l.venue.channels[2].port = UdpPort{1234};
    l.venue.addressing.ranges = {range("239.192.1.0/24")};
    CHECK(flows(l) == Strings{"239.192.1.1:5004", "239.192.1.2:5004", "239.64.1.0:1234"});
    CHECK(l.findings.empty());
}

TEST_CASE("pinned groups that switches confuse are errors with both named", "[unit]") {
    auto l = lineup(numbers(101, 3));
    l.venue.channels[0].group = group("239.1.1.1");
    l.venue.channels[1].group = group("239.129.1.1");
    l.venue.channels[2].group = group("239.9.9.9");
    l.venue.occupied = {{range("239.137.9.0/24"), "paging"}};
    CHECK(flows(l).size() == 3);
    REQUIRE(l.findings.size() == 2);
    CHECK(to_line(l.findings[0]) ==
          "error: addressing.groups-collide: channel 102: 239.129.1.1 has the Ethernet address "
          "01:00:5e:01:01:01, like 239.1.1.1 of channel 101; pin another group, or none");
    CHECK(to_line(l.findings[1]) ==
          "error: addressing.groups-collide: channel 103: 239.9.9.9 has the Ethernet address "
          "01:00:5e:09:09:09, like 239.137.9.0-239.137.9.255 (paging); pin another group, or none");
}

TEST_CASE("exhaustion is an error with the figures, not a wrap-around", "[unit]") {
    auto l = lineup(numbers(1, 20));
    l.venue.addressing.ranges = {range("239.192.1.0/28")};
    l.venue.addressing.reserved = {range("239.192.1.0-239.192.1.3")};
    const auto result = allocate(l.venue, l.assignment, l.findings);
    CHECK(result.capacity == 12);
    CHECK(result.carriages.size() == 12);
    REQUIRE(l.findings.size() == 1);
    CHECK(to_line(l.findings[0]) ==
          "error: addressing.exhausted: channel 13: no group is left for it and 7 more; the ranges "
          "can give 12 groups that no switch confuses, 20 are needed (8 groups); add an "
          "[[addressing.range]] of 8 groups or more");
}

TEST_CASE("a range in a forbidden block is an error, a hole in an honest range is none", "[unit]") {
    auto l = lineup(numbers(1, 1));
    l.venue.addressing.ranges = {range("224.0.1.0/24"), range("239.0.0.0/16")};
    CHECK(flows(l) == Strings{"239.0.1.0:5004"});
    CHECK(ids(l.findings) == Strings{"error addressing.control-block"});
    auto hole = lineup(numbers(1, 1));
    hole.venue.addressing.ranges = {range("239.128.0.0/24")};
    CHECK(flows(hole).empty());
    CHECK(ids(hole.findings) == Strings{"error addressing.control-mac", "error addressing.exhausted"});
}

TEST_CASE("two million groups are handled without listing them", "[unit]") {
    auto l = lineup(numbers(1, 2000));
    l.venue.addressing.ranges = {range("239.0.0.0-239.31.255.255")};
    l.venue.occupied = {{range("239.128.0.0-239.144.0.0"), "elsewhere"}};
    const auto result = allocate(l.venue, l.assignment, l.findings);
    CHECK(result.capacity == 2097152 - 1048577);
    REQUIRE(result.carriages.size() == 2000);
    CHECK(to_text(result.carriages[0].flow.group) == "239.16.0.1");
}

TEST_CASE("source-specific streams need a source on every card", "[unit]") {
    auto l = lineup(numbers(1, 2));
    l.venue.addressing.source_specific = true;
    l.venue.addressing.ranges = {range("232.1.0.0/16")};
    CHECK(flows(l).size() == 2);
    CHECK(ids(l.findings) == Strings{"error addressing.no-source"});
    l.venue.cards[0].source = IpAddress::v4(0x0A140001);
    l.findings.clear();
    const auto result = allocate(l.venue, l.assignment, l.findings);
    CHECK(l.findings.empty());
    CHECK(result.carriages[0].source == IpAddress::v4(0x0A140001));
}

TEST_CASE("a source is of the IP version of its groups", "[unit]") {
    auto l = lineup(numbers(1, 2));
    l.venue.addressing.ranges = {range("ff15::8000:0/112")};
    l.venue.cards[0].source = IpAddress::v4(0x0A140001);
    flows(l);
    REQUIRE(ids(l.findings) == Strings{"error addressing.source-version"});
    CHECK(l.findings[0].what == "its source 10.20.0.1 is of IPv4, its groups are of IPv6: one datagram has both addresses");
    l.venue.addressing.ranges = {range("ff35::8000:0/112")};
    l.venue.addressing.source_specific = true;
    l.findings.clear();
    flows(l);
    CHECK(ids(l.findings) == Strings{"error addressing.source-version"});
    l.venue.cards[0].source = *parse_ip_address("2001:db8::1");
    l.findings.clear();
    flows(l);
    CHECK(l.findings.empty());
}

TEST_CASE("where streams are routed no source is link-local", "[unit]") {
    auto l = lineup(numbers(1, 2));
    l.venue.addressing.ranges = {range("239.192.0.0/16")};
    l.venue.cards[0].source = IpAddress::v4(0xA9FE0001);
    flows(l);
    CHECK(l.findings.empty());
    l.venue.network.forwarding = Forwarding::routed;
    flows(l);
    CHECK(ids(l.findings) == Strings{"error addressing.source-link-local"});
}

TEST_CASE("a code point that RFC 4594 keeps for other traffic is warned of", "[outside]") {
    // RFC 4594 figure 3: Network Control CS6, Telephony EF, Low-Priority Data CS1, Broadcast Video CS3,
    // Multimedia Streaming AF31 to AF33, Multimedia Conferencing AF41 to AF43.
    for (const int other : {8, 46, 48, 56, 63}) {
        auto l = lineup(numbers(1, 1));
        l.venue.addressing.ranges = {range("239.192.0.0/16")};
        l.venue.addressing.dscp = other;
        flows(l);
        CHECK(ids(l.findings) == Strings{"warning addressing.dscp-of-others"});
    }
    for (const int good : {0, 24, 26, 28, 30, 34, 36, 38}) {
        auto l = lineup(numbers(1, 1));
        l.venue.addressing.ranges = {range("239.192.0.0/16")};
        l.venue.addressing.dscp = good;
        flows(l);
        CHECK(l.findings.empty());
    }
}

TEST_CASE("ports that invite trouble are warned of once, with the number of channels", "[unit]") {
    auto l = lineup(numbers(1, 3));
    l.venue.addressing.ranges = {range("239.192.1.0/24")};
    l.venue.addressing.port = UdpPort{1001};
    l.venue.addressing.encapsulation = Encapsulation::rtp;
    flows(l);
    REQUIRE(ids(l.findings) == Strings{"warning addressing.port-privileged", "warning addressing.port-odd"});
    CHECK(l.findings[0].amount == "3 channels");
    l.findings.clear();
    l.venue.addressing.port = UdpPort{50000};  // RFC 6335 section 6: dynamic ports 49152-65535
    flows(l);
    CHECK(ids(l.findings) == Strings{"warning addressing.port-dynamic"});
    l.findings.clear();
    l.venue.addressing.port = UdpPort{5000};
    l.venue.addressing.port_step = 2;
    CHECK(flows(l) == Strings{"239.192.1.0:5002", "239.192.1.1:5004", "239.192.1.2:5006"});
    CHECK(l.findings.empty());
    l.venue.addressing.fec.emplace().classes = {PictureClass::hd};  // media on 5002, FEC on 5004 and 5006
    flows(l);
    CHECK(ids(l.findings) == Strings{"warning addressing.port-room"});
    l.findings.clear();
    l.venue.channels[0].number = {70000, 0};
    flows(l);
    CHECK(ids(l.findings)[0] == "error addressing.port-too-high");
}

TEST_CASE("the room above a port is what its own stream needs", "[outside]") {
    // RTCP on the next port (RFC 3550 section 11); FEC by columns on + 2, by rows on + 4 (SMPTE 2022-1 section 8.1
    // from memory).
    auto l = lineup(numbers(1, 2));
    auto& policy = l.venue.addressing;
    policy.ranges = {range("239.192.1.0/24")};
    policy.encapsulation = Encapsulation::rtp;
    policy.fec.emplace().classes = {PictureClass::hd};
    const auto warned = [&](int gap) {
        l.venue.channels[0].port = UdpPort{5004};
        l.venue.channels[1].port = UdpPort{static_cast<std::uint16_t>(5004 + gap)};
        l.findings.clear();
        flows(l);
        return !l.findings.empty();
    };
    CHECK(warned(2));
    CHECK(warned(4));
    CHECK_FALSE(warned(6));
    CHECK_FALSE(warned(0));  // other groups on one port
    policy.fec->row_packets = false;
    CHECK(warned(2));
    CHECK_FALSE(warned(4));
    policy.fec->row_packets = true;
    l.venue.channels[0].picture = PictureClass::sd;  // which has no FEC: its neighbour above has room
    CHECK_FALSE(warned(2));
    l.venue.channels[0].picture = PictureClass::hd;
    l.venue.channels[1].picture = PictureClass::sd;
    CHECK(warned(2));
    policy.fec.reset();
    CHECK(warned(1));
    CHECK_FALSE(warned(2));
    policy.encapsulation = Encapsulation::udp;
    CHECK_FALSE(warned(1));
}

TEST_CASE("ports are judged alike to both edges of their ranges", "[outside]") {
    // RFC 6335 section 6: system ports to 1023, user ports to 49151, dynamic ports to 65535.
    auto l = lineup(numbers(1, 1));
    l.venue.addressing.ranges = {range("239.192.1.0/24")};
    const auto found = [&](int port) {
        l.venue.channels[0].port = UdpPort{static_cast<std::uint16_t>(port)};
        l.findings.clear();
        flows(l);
        return ids(l.findings);
    };
    CHECK(found(1) == Strings{"warning addressing.port-privileged"});
    CHECK(found(1023) == Strings{"warning addressing.port-privileged"});
    CHECK(found(1024).empty());
    CHECK(found(49151).empty());
    CHECK(found(49152) == Strings{"warning addressing.port-dynamic"});
    CHECK(found(65535) == Strings{"warning addressing.port-dynamic"});
    l.venue.addressing.encapsulation = Encapsulation::rtp;
    CHECK(found(65534) == Strings{"warning addressing.port-dynamic"});
    CHECK(found(65535)[0] == "error addressing.port-too-high");
    l.venue.addressing.dynamic_first = UdpPort{32768};  // as the site's own hosts may be set
    l.venue.addressing.dynamic_last = UdpPort{60998};
    CHECK(found(32766).empty());
    CHECK(found(32768) == Strings{"warning addressing.port-dynamic"});
    CHECK(found(60998) == Strings{"warning addressing.port-dynamic"});
    CHECK(found(61000).empty());
}

TEST_CASE("a carriage keeps its group on a re-plan, and a freed group rests", "[unit]") {
    using namespace std::chrono;
    auto l = lineup({{102, 0}, {103, 0}, {104, 0}});
    l.venue.addressing.ranges = {range("239.192.1.0/24")};
    AddressHistory history{{{"101", 1, group("239.192.1.0")}, {"103", 1, group("239.192.1.2")}},
                           {{group("239.192.1.1"), sys_days{2026y / 1 / 10}}},
                           sys_days{2026y / 2 / 1}};
    const auto first = allocate(l.venue, l.assignment, history, l.findings);
    REQUIRE(first.carriages.size() == 3);
    CHECK(to_text(first.carriages[0].flow.group) == "239.192.1.3");
    CHECK(to_text(first.carriages[1].flow.group) == "239.192.1.2");
    CHECK(to_text(first.carriages[2].flow.group) == "239.192.1.4");
    REQUIRE(first.resting.size() == 2);
    CHECK(first.resting[0] == RestingGroup{group("239.192.1.0"), sys_days{2026y / 2 / 1}, "101"});
    CHECK(first.resting[1] == RestingGroup{group("239.192.1.1"), sys_days{2026y / 1 / 10}});
    history.held.erase(history.held.begin());
    history.today = sys_days{2026y / 2 / 9};  // 239.192.1.1 has rested 30 days
    const auto later = allocate(l.venue, l.assignment, history, l.findings);
    CHECK(to_text(later.carriages[2].flow.group) == "239.192.1.1");
    CHECK(later.resting.empty());
}

TEST_CASE("a channel that comes back while its group rests has it again", "[unit]") {
    using namespace std::chrono;
    auto l = lineup({{101, 0}, {102, 0}, {103, 0}});
    l.venue.addressing.ranges = {range("239.192.1.0/30")};  // 4 groups
    const sys_days day{2026y / 2 / 1};
    const AddressHistory history{{{"101", 1, group("239.192.1.0")}},
                                 {{group("239.192.1.1"), day - days(9), "103"},
                                  {group("239.192.1.2"), day - days(2), "103"},
                                  {group("239.192.1.3"), day - days(2)}},
                                 day};
    const auto back = allocate(l.venue, l.assignment, history, l.findings);
    REQUIRE(back.carriages.size() == 2);  // 102 is new, and all that is left rests
    CHECK(to_text(back.carriages[0].flow.group) == "239.192.1.0");
    CHECK(to_text(back.carriages[1].flow.group) == "239.192.1.2");  // the one it had last
    CHECK(back.resting == std::vector{history.resting[0], history.resting[2]});
    CHECK(ids(l.findings) == Strings{"error addressing.exhausted"});
}

TEST_CASE("no two planned groups share an Ethernet address on 10,000 random policies", "[property]") {
    test::Dice dice(3);
    const auto any_range = [&dice] {
        const std::uint32_t spread = dice.one_in(2) ? 0x0F8000FFU : 0x07FFFFFFU;
        const std::uint32_t first = 0xE8000000U + (dice.below(0x08000000U) & spread);
        const std::uint32_t last = first + (dice.below(40) << dice.below(10));
        return GroupRange{*Group::of(IpAddress::v4(std::min(first, 0xEFFFFFFFU))),
                          *Group::of(IpAddress::v4(std::min(last, 0xEFFFFFFFU))), "", {}};
    };
    for (int round = 0; round < 10000; ++round) {
        auto l = lineup(numbers(1 + dice.below(900), 1 + dice.below(30)));
        auto& policy = l.venue.addressing;
        policy.scheme = static_cast<GroupScheme>(dice.below(3));
        policy.source_specific = dice.one_in(2);
        for (std::uint32_t i = 0; i <= dice.below(3); ++i) policy.ranges.push_back(any_range());
        if (dice.one_in(2)) policy.ranges.push_back(range("ff15::80ff:0/120"));
        for (std::uint32_t i = 0; i < dice.below(3); ++i)
            l.venue.occupied.push_back({any_range(), ""});
        for (std::uint32_t i = 0; i < dice.below(3); ++i) policy.reserved.push_back(any_range());
        const auto result = allocate(l.venue, l.assignment, l.findings);
        std::set<MacAddress> macs;
        for (const auto& c : result.carriages) {
            REQUIRE(macs.insert(mac_of(c.flow.group)).second);
            for (const auto& o : l.venue.occupied)
                REQUIRE_FALSE(overlap(span_of(o.range), {c.flow.group, c.flow.group}));
        }
        REQUIRE(result.carriages.size() <= result.capacity);
        if (result.carriages.size() < l.assignment.homes.size()) REQUIRE(has_errors(l.findings));
    }
}

TEST_CASE("what waits in the group of the first carriage takes no group", "[unit]") {
    auto l = lineup({{101, 0}, {102, 0}});
    l.venue.cards[0].source = *parse_ip_address("10.0.0.1");
    l.venue.cards.push_back({.name = "A2"});
    l.venue.cards[1].source = *parse_ip_address("10.0.0.2");
    l.assignment.homes.insert(l.assignment.homes.begin() + 1, {.channel = 0, .copy = 2, .card = 1});
    l.venue.protection = {.mode = ProtectionMode::carried_twice, .second = SecondCarriage::same_group};
    l.venue.addressing.ranges = {range("239.192.1.0/31")};
    const auto a = allocate(l.venue, l.assignment, l.findings);
    CHECK(l.findings.empty());
    REQUIRE(a.carriages.size() == 2);
    REQUIRE(a.silent.size() == 1);
    CHECK(a.silent[0].home == 1);
    CHECK(a.silent[0].flow == a.carriages[0].flow);
    CHECK(to_text(*a.silent[0].source) == "10.0.0.2");
    l.venue.protection.second = SecondCarriage::own_group;
    allocate(l.venue, l.assignment, l.findings);
    CHECK(ids(l.findings) == Strings{"error addressing.exhausted"});
}

TEST_CASE("a card that only waits to send needs a source that can be joined", "[input]") {
    auto l = lineup({{101, 0}});
    l.venue.cards[0].source = *parse_ip_address("10.0.0.1");
    l.venue.cards.push_back({.name = "A2"});
    l.assignment.homes.push_back({.channel = 0, .copy = 2, .card = 1});
    l.venue.protection = {.mode = ProtectionMode::carried_twice, .second = SecondCarriage::same_group};
    l.venue.addressing.source_specific = true;
    l.venue.addressing.ranges = {range("232.1.0.0/24")};
    allocate(l.venue, l.assignment, l.findings);
    REQUIRE(ids(l.findings) == Strings{"error addressing.no-source"});
    CHECK(l.findings[0].subject == "card A2");
}
