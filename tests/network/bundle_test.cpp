// SPDX-License-Identifier: Apache-2.0
#include "planner/network/bundle.hpp"

#include <catch2/catch.hpp>

#include "support/network_builder.hpp"

using namespace mastline;
using test::direction;
using test::mbps;
using test::NetworkBuilder;

namespace bundle_test {

namespace {

constexpr double kOne = 10.0 * 1382 / 1316;

// Eight channels of 10 Mbit/s on a bundle of two, groups 239.192.1.0, .1, ... in turn.
NetworkBuilder bundled(BundleHash hash) {
    NetworkBuilder b(std::vector<BitRate>(8, megabits_per_second(10)));
    b.venue().addressing.ranges = {test::range("239.192.1.0/24")};
    b.with_switch("core", 4096).with_switch("access").with_link("core", "access");
    b.link("core/access").members = 2;
    b.link("core/access").hash = hash;
    b.querier("core", 0x0A000001).with_card("A1", "core", 8).with_zone("access", 3);
    return b;
}

void pin_even(NetworkBuilder& b) {
    for (std::uint32_t i = 0; i < 8; ++i)
        b.venue().channels[i].group = test::group("239.192.1." + std::to_string(2 * i));
}

}  // namespace

TEST_CASE("the address hash folds both addresses to eight bits", "[outside]") {
    // Linux bonding.rst, layer2+3 without its MAC part: source ^ destination, ^ >> 16, ^ >> 8,
    // modulo the slaves. 10.0.0.1 ^ 239.192.1.1 = e5c00100; ^ e5c0 = e5c0e4c0; ^ e5c0e4 = .. 24.
    CHECK(address_hash(IpAddress::v4(0x0A000001), IpAddress::v4(0xEFC00101), 256) == 0x24);
    CHECK(address_hash(IpAddress::v4(0x0A000001), IpAddress::v4(0xEFC00102), 256) == 0x27);
    CHECK(address_hash(IpAddress::v4(0x0A000001), IpAddress::v4(0xEFC00101), 2) == 0);
}

TEST_CASE("displays can choose all their channels from one member of a bundle", "[unit]") {
    auto b = bundled(BundleHash::mac);
    auto load = b.load();
    // Four groups hash to each member; three displays want three of the same.
    CHECK(mbps(direction(load, "core", "access").fullest_member) == Approx(3 * kOne).margin(1e-4));
    CHECK(direction(load, "core", "access").member_rule == "exact, by the MAC hash");
    b.venue().zones[0].displays = 30;
    load = b.load();
    CHECK(mbps(direction(load, "core", "access").fullest_member) == Approx(4 * kOne).margin(1e-4));
    // One source and groups whose last bytes are all even: one link is never used (bonding.rst,
    // layer2: exclusive-or of the last bytes, modulo the slaves).
    pin_even(b);
    load = b.load();
    CHECK(mbps(direction(load, "core", "access").fullest_member) == Approx(8 * kOne).margin(1e-4));
}

TEST_CASE("flooding fills the members of a bundle with what nobody behind it chose", "[unit]") {
    auto b = bundled(BundleHash::mac);
    b.at("core").snooping = false;
    const auto load = b.load();
    const auto& down = direction(load, "core", "access");
    // Three displays want three streams; eight are flooded, four to each member, all to the last one left.
    CHECK(mbps(down.worst_mix) == Approx(3 * kOne).margin(1e-4));
    CHECK(mbps(down.flooded) == Approx(8 * kOne).margin(1e-4));
    CHECK(mbps(down.fullest_member) == Approx(4 * kOne).margin(1e-4));
    CHECK(down.member_rule == "exact, by the MAC hash");
    CHECK(mbps(down.failure_member) == Approx(8 * kOne).margin(1e-4));
    CHECK(down.failure_member_rule == "exact, one member is left");
    CHECK(down.member_failure == "member of bundle core/access");
    // Towards the sources nothing is flooded.
    CHECK(direction(load, "access", "core").fullest_member == BitRate(0));
    pin_even(b);
    const auto pinned = b.load();
    CHECK(mbps(direction(pinned, "core", "access").fullest_member) == Approx(8 * kOne).margin(1e-4));
    CHECK(direction(pinned, "core", "access").member_failure.empty());
}

TEST_CASE("an address hash is reckoned exactly where the sources are known", "[unit]") {
    auto b = bundled(BundleHash::address);
    b.venue().zones[0].displays = 30;
    CHECK_FALSE(direction(b.load(), "core", "access").member_exact);
    b.venue().cards[0].source = IpAddress::v4(0x0A000001);
    const auto load = b.load();
    CHECK(direction(load, "core", "access").member_exact);
    CHECK(mbps(direction(load, "core", "access").fullest_member) == Approx(4 * kOne).margin(1e-4));
}

TEST_CASE("choices ahead of a flooding switch fill one member behind it", "[unit]") {
    auto b = bundled(BundleHash::mac);
    b.with_switch("head").with_link("head", "core").querier("head", 0x0A000002);
    b.at("core").querier = false;
    b.venue().cards[0].attached_to = "head";
    b.at("core").snooping = false;  // it floods what the two displays beyond it make head send
    b.venue().zones[0].displays = 2;
    const auto load = b.load();
    const auto& l = direction(load, "core", "access");
    CHECK(mbps(l.flooded) == Approx(2 * kOne).margin(1e-4));
    CHECK(l.member_exact);
    CHECK(mbps(l.fullest_member) == Approx(2 * kOne).margin(1e-4));  // both of one member; the heaviest two are of two
}

TEST_CASE("with an unknown hash the fullest member is drawn, with its error", "[unit]") {
    auto b = bundled(BundleHash::unknown);
    b.venue().zones[0].displays = 30;
    const auto load = b.load();
    const auto& l = direction(load, "core", "access");
    CHECK_FALSE(l.member_exact);
    // Eight flows on two members: all eight on one in 2 of 256 cases, seven or more in 18 of 256
    // (7.0 %): 99 of 100 dealings stay at seven or below.
    CHECK(mbps(l.fullest_member) == Approx(7 * kOne).margin(1e-4));
    CHECK(l.member_rule.starts_with("99 of 100 random dealings stay below (2000 drawn, "));
}

TEST_CASE("with an unknown hash the fullest member is drawn for a failure too", "[unit]") {
    // Two ways from the core to the displays; the bundle is the second.
    auto b = bundled(BundleHash::mac);
    b.with_switch("side").with_link("core", "side").with_link("side", "access");
    auto& second = b.link("side/access");
    second.members = 4;
    second.hash = BundleHash::unknown;
    second.cost = 100'000;
    b.venue().zones[0].displays = 30;
    b.link("core/access").members = 1;
    const auto load = b.load();
    const auto& l = direction(load, "side", "access");
    CHECK(mbps(l.fullest_member) == 0);
    CHECK(l.member_failure == "link core/access");
    CHECK_FALSE(l.failure_member_exact);
    // Eight flows on four members: the chance that some member has six or more is at most 4 x 277 / 65536
    // (binomial, 1.7 %), that one has seven or more 4 x 25 / 65536 (0.15 %).
    CHECK(mbps(l.failure_member) == Approx(6 * kOne).margin(1e-4));
    CHECK(l.failure_member_rule.starts_with("99 of 100 random dealings stay below (2000 drawn, "));
}

TEST_CASE("a full member is reported though the bundle has room", "[unit]") {
    auto b = bundled(BundleHash::mac);
    b.link("core/access").speed = megabits_per_second(60);  // limit 48 a member, 96 in all
    b.venue().zones[0].displays = 30;
    pin_even(b);
    b.load();
    REQUIRE_FALSE(b.findings().empty());
    CHECK(b.findings()[0].id == "load.member-over-limit");
    CHECK(b.findings()[0].severity == Severity::error);
    CHECK(b.findings()[0].amount == "36.0 Mbit/s");
}

}  // namespace bundle_test
