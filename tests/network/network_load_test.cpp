// SPDX-License-Identifier: Apache-2.0
#include "mastline/network/network_load.hpp"

#include <catch2/catch.hpp>

#include "support/network_builder.hpp"

using namespace mastline;
using test::direction;
using test::ids;
using test::mbps;
using test::NetworkBuilder;
using Strings = std::vector<std::string>;

namespace network_load_test {

namespace {

std::vector<BitRate> rates(std::initializer_list<std::pair<int, double>> groups) {
    std::vector<BitRate> out;
    for (const auto& [count, rate] : groups)
        out.insert(out.end(), static_cast<std::size_t>(count), megabits_per_second(rate));
    return out;
}

// Head-end at the core, two access switches; ten channels of 10 Mbit/s, each 10.5 on the wire.
NetworkBuilder small_site() {
    NetworkBuilder b(rates({{10, 10}}));
    b.with_switch("core", 4096).with_switch("east").with_switch("west");
    b.with_link("core", "east").with_link("core", "west");
    b.querier("core", 0x0A000001);
    b.with_card("A1", "core", 10);
    b.with_zone("east", 4, {"101", "102"}).with_zone("west", 20, {"101"}, {"110"});
    return b;
}

constexpr double kOne = 10.0 * 1382 / 1316;

}  // namespace

TEST_CASE("a full uplink carries what its frames add up to", "[outside]") {
    // 20 x 8, 10 x 12, 4 x 22 and 10 x 3.5 Mbit/s in RTP on a tagged 1 Gbit/s uplink, FEC 10 x 10
    // on the 22s alone: 403 x 1398/1316 + 88 x 0.20 x 1414/1316 = 447.022 Mbit/s, by hand.
    NetworkBuilder b(rates({{20, 8}, {10, 12}, {4, 22}, {10, 3.5}}));
    for (std::size_t i = 30; i < 34; ++i) b.venue().channels[i].picture = PictureClass::uhd;
    auto& policy = b.venue().addressing;
    policy.encapsulation = Encapsulation::rtp;
    policy.vlan = 120;
    policy.fec = FecPolicy{10, 10, true, {PictureClass::uhd}};
    b.with_switch("core", 4096).with_switch("access").with_link("core", "access");
    b.querier("core", 0x0A000001).with_card("A1", "core", 44).with_zone("access", 60);
    b.venue().zones[0].tagged = true;
    const auto load = b.load();
    CHECK(mbps(direction(load, "core", "access").worst_mix) == Approx(447.022).margin(0.001));
    // (403 + 88 x 0.20) Mbit/s in datagrams of 1316 bytes.
    CHECK(direction(load, "core", "access").frames == Approx(420.6e6 / (8 * 1316)).margin(0.01));
    CHECK(mbps(direction(load, "access", "core").worst_mix) == 0);
    CHECK(direction(load, "core", "access").limit == megabits_per_second(800));
    // A display's port that joined an 8 Mbit/s group: 8 x 1398/1316 = 8.498 Mbit/s.
    for (std::size_t i = 20; i < 44; ++i) b.venue().inputs[i].programme.rate = megabits_per_second(8);
    policy.fec.reset();
    const auto eights = b.load();
    CHECK(mbps(direction(eights, "access", "display").worst_mix) == Approx(8.498).margin(0.001));
}

TEST_CASE("without snooping an edge port is offered every stream of the uplink", "[outside]") {
    // As above: all 447.022 Mbit/s, 4.5 times a port of 100 Mbit/s.
    NetworkBuilder b(rates({{20, 8}, {10, 12}, {4, 22}, {10, 3.5}}));
    for (std::size_t i = 30; i < 34; ++i) b.venue().channels[i].picture = PictureClass::uhd;
    auto& policy = b.venue().addressing;
    policy.encapsulation = Encapsulation::rtp;
    policy.vlan = 120;
    policy.fec = FecPolicy{10, 10, true, {PictureClass::uhd}};
    b.with_switch("core", 4096).with_switch("access").with_link("core", "access");
    b.querier("core", 0x0A000001).with_card("A1", "core", 44).with_zone("access", 60);
    b.venue().zones[0].tagged = true;
    b.at("access").snooping = false;
    const auto load = b.load();
    CHECK(mbps(direction(load, "access", "display").flooded) == Approx(447.022).margin(0.001));
    CHECK(ids(b.findings()) == Strings{"error load.flooding-over-limit", "note network.zones-hang-by-one"});
    CHECK(b.findings()[0].amount == "347.0 Mbit/s");
}

TEST_CASE("each column of a link is the sum of its groups", "[unit]") {
    auto b = small_site();
    const auto load = b.load();
    const auto& east = direction(load, "core", "east");
    CHECK(mbps(east.scheduled) == Approx(2 * kOne).margin(1e-4));
    CHECK(mbps(east.worst_mix) == Approx(4 * kOne).margin(1e-4));
    CHECK(mbps(east.everything) == Approx(10 * kOne).margin(1e-4));
    CHECK(east.groups == std::vector<std::uint32_t>{0, 1, 2, 3});
    const auto& west = direction(load, "core", "west");
    CHECK(mbps(west.scheduled) == Approx(2 * kOne).margin(1e-4));  // 101 shown, 110 recorded
    CHECK(mbps(west.worst_mix) == Approx(10 * kOne).margin(1e-4));
    CHECK_FALSE(west.to_multicast_router);
    CHECK(load.tree_root == "core");
    CHECK(load.querier == "core");
    CHECK(mbps(direction(load, "card A1", "core").worst_mix) == Approx(10 * kOne).margin(1e-4));
    CHECK(mbps(direction(load, "east", "display").worst_mix) == Approx(kOne).margin(1e-4));
    CHECK(ids(b.findings()) == Strings{"note network.zones-hang-by-one"});
}

TEST_CASE("a default that no display is left for is shown on no port", "[unit]") {
    auto b = small_site();
    b.venue().inputs[2].programme.rate = megabits_per_second(50);
    b.venue().zones[0].displays = 2;
    b.venue().zones[0].defaults = {{"101", {}}, {"102", {}}, {"103", {}}};
    CHECK(mbps(direction(b.load(), "core", "east").scheduled) == Approx(2 * kOne).margin(1e-4));
    CHECK(mbps(direction(b.load(), "east", "display").scheduled) == Approx(kOne).margin(1e-4));
    b.venue().zones[0].displays = 3;
    CHECK(mbps(direction(b.load(), "east", "display").scheduled) > 50);
}

TEST_CASE("a recorder's groups flow besides what the displays choose", "[unit]") {
    auto b = small_site();
    b.venue().zones[0].recorded = {{"102", {}}, {"109", {}}};
    const auto load = b.load();
    const auto& east = direction(load, "core", "east");
    CHECK(mbps(east.worst_mix) == Approx(6 * kOne).margin(1e-4));
    CHECK(east.groups == std::vector<std::uint32_t>{0, 1, 2, 3, 4, 8});
}

TEST_CASE("zapping keeps groups flowing until the leave latency has passed", "[unit]") {
    auto b = small_site();
    b.venue().network.zaps_per_display_second = 0.2;  // 4 displays x 0.2 /s x 2 s = 1.6: 2 groups
    CHECK(mbps(direction(b.load(), "core", "east").worst_mix) == Approx(6 * kOne).margin(1e-4));
    // RFC 3376 section 8.8: last member query time is the interval times the count.
    b.venue().network.last_member_query_interval = std::chrono::milliseconds(100);
    CHECK(mbps(direction(b.load(), "core", "east").worst_mix) == Approx(5 * kOne).margin(1e-4));
    CHECK(mbps(direction(b.load(), "east", "display").worst_mix) == Approx(2 * kOne).margin(1e-4));
    b.at("east").fast_leave = true;
    CHECK(mbps(direction(b.load(), "east", "display").worst_mix) == Approx(kOne).margin(1e-4));
}

TEST_CASE("every group goes to the querier and to multicast routers", "[outside]") {
    // RFC 4541 section 2.1.2: data goes to ports with members and to router ports.
    auto b = small_site();
    b.at("core").querier = false;
    b.querier("east", 0x0A000002).querier("west", 0x0A000003);
    const auto load = b.load();
    CHECK(load.querier == "east");  // RFC 2236 section 3: the lowest address
    CHECK(direction(load, "core", "east").to_multicast_router);
    CHECK(mbps(direction(load, "core", "east").worst_mix) == Approx(10 * kOne).margin(1e-4));
    CHECK(mbps(direction(load, "core", "east").scheduled) == Approx(10 * kOne).margin(1e-4));
    CHECK_FALSE(direction(load, "core", "west").to_multicast_router);
    b.at("west").multicast_router = true;
    CHECK(direction(b.load(), "core", "west").to_multicast_router);
}

TEST_CASE("with no querier switches flood or stop, as their data says", "[unit]") {
    auto b = small_site();
    b.at("core").querier = false;
    const auto load = b.load();
    CHECK(mbps(direction(load, "core", "east").flooded) == Approx(10 * kOne).margin(1e-4));
    CHECK(mbps(direction(load, "core", "east").worst_mix) == Approx(4 * kOne).margin(1e-4));
    REQUIRE(b.findings()[0].id == "network.no-querier");
    CHECK(b.findings()[0].severity == Severity::warning);
    CHECK(to_line(b.findings()[0]) ==
          "warning: network.no-querier: no switch is a querier: memberships end after 260 s, then "
          "every stream goes to every port (RFC 4541); set querier = true and a querier_address on "
          "a switch near the root");
    for (const auto* name : {"core", "east", "west"}) b.at(name).floods_without_querier = false;
    CHECK(mbps(direction(b.load(), "core", "east").flooded) == Approx(4 * kOne).margin(1e-4));
    CHECK(b.findings()[0].severity == Severity::error);
}

TEST_CASE("a querier asks for IPv4 groups from an IPv4 address, for IPv6 groups from a link-local one", "[outside]") {
    // RFC 3810 section 5.1.14: MLD queries have a valid link-local source.
    const auto is_warned = [](const char* groups, const char* address) {
        auto b = small_site();
        b.at("core").querier_address = *parse_ip_address(address);
        b.venue().addressing.ranges = {test::range(groups)};
        b.load();
        return std::any_of(b.findings().begin(), b.findings().end(),
                           [](const Finding& f) { return f.id == "network.querier-address-version"; });
    };
    CHECK_FALSE(is_warned("239.192.0.0/16", "10.20.0.1"));
    CHECK_FALSE(is_warned("ff15::8000:0/112", "fe80::1"));
    CHECK(is_warned("239.192.0.0/16", "fe80::1"));
    CHECK(is_warned("ff15::8000:0/112", "10.20.0.1"));
    CHECK(is_warned("ff15::8000:0/112", "2001:db8::1"));
}

TEST_CASE("a link over its limit is an error with amount and cure", "[unit]") {
    auto b = small_site();
    b.link("core/west").speed = megabits_per_second(100);
    b.load();
    REQUIRE(b.findings().size() == 2);
    CHECK(to_line(b.findings()[0]) ==
          "error: load.worst-mix-over-limit: link core/west, core to west: the worst mix of "
          "channels is 105.0 Mbit/s, planned are at most 80.0 Mbit/s (25.0 Mbit/s); bundle 2 "
          "members of this speed, or take a faster link");
}

TEST_CASE("a link that needs more members than a bundle has is told the speed instead", "[unit]") {
    auto b = small_site();
    b.link("core/west").speed = megabits_per_second(5);
    b.load();
    REQUIRE(!b.findings().empty());
    // 105.0 Mbit/s at 0.8 of the speed; 27 members would do, a bundle has 16 (IEEE 802.1AX has no such limit:
    // common practice).
    CHECK(b.findings()[0].cure == "take a link of 131.3 Mbit/s or more");
}

TEST_CASE("a link is a link, whatever its switches are called", "[unit]") {
    auto b = small_site();
    b.with_switch("card room").with_switch("zone 3");
    b.with_link("core", "card room").with_link("card room", "zone 3");
    b.with_zone("zone 3", 20);
    for (auto& l : b.venue().links) l.speed = megabits_per_second(100);
    b.link("core/west").speed = b.link("core/card room").speed = megabits_per_second(1000);
    const auto load = b.load();
    REQUIRE(!b.findings().empty());
    CHECK(b.findings()[0].cure == "bundle 2 members of this speed, or take a faster link");
    CHECK(direction(load, "card room", "zone 3").of == LoadOf::link);
    CHECK(direction(load, "card A1", "core").of == LoadOf::card);
    CHECK(direction(load, "zone 3", "display").of == LoadOf::display_port);
    CHECK(direction(load, "zone 3", "display").index == 2);
}

TEST_CASE("what a card's or a display's port lacks is told at its place in the file", "[unit]") {
    auto b = small_site();
    b.venue().zones[0].port_speed = megabits_per_second(10);
    b.venue().zones[0].place = {"network.toml", 40, 1};
    b.venue().cards[0].port_speed = megabits_per_second(100);
    b.venue().cards[0].place = {"cards.toml", 7, 1};
    b.load();
    REQUIRE(b.findings().size() >= 2);
    CHECK(to_text(b.findings()[0].place) == "cards.toml:7:1");
    CHECK(to_text(b.findings()[1].place) == "network.toml:40:1");
}

TEST_CASE("times that a query cannot say are told", "[outside]") {
    // RFC 2236 section 2.2: the Max Response Time of IGMPv2 is a byte of tenths of a second.
    auto b = small_site();
    auto& n = b.venue().network;
    n.igmp_version = 2;
    n.query_response = std::chrono::milliseconds(25500);
    b.load();
    CHECK(ids(b.findings()) == Strings{"note network.zones-hang-by-one"});
    n.query_response = std::chrono::seconds(30);
    b.load();
    REQUIRE(ids(b.findings()) == Strings{"error network.timer-too-long", "note network.zones-hang-by-one"});
    CHECK(b.findings()[0].what == "query_response is 30 s, queries can say 25.5 s at most (RFC 2236 section 2.2)");
    n.igmp_version = 3;  // 30 s = 300 tenths = 18.75 << 4: the code 0x92 says 288 tenths
    b.load();
    REQUIRE(ids(b.findings()) == Strings{"note network.timer-rounded", "note network.zones-hang-by-one"});
    CHECK(b.findings()[0].cure == "set query_response to 28.8 s");
    b.venue().addressing.ranges = {test::range("ff15::8000:0/112")};
    b.load();  // RFC 3810 section 5.1.3: milliseconds, 32767 of them as they are
    CHECK(ids(b.findings()) == Strings{"warning network.querier-address-version", "note network.zones-hang-by-one"});
}

TEST_CASE("a card that is plugged into no switch is warned of", "[unit]") {
    auto b = small_site();
    b.venue().cards[0].attached_to = "";
    b.load();
    CHECK(ids(b.findings()) == Strings{"warning network.card-unattached"});
}

}  // namespace network_load_test
