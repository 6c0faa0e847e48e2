// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "support/network_builder.hpp"

using namespace mastline;
using test::direction;
using test::mbps;
using test::NetworkBuilder;

namespace failures_test {

namespace {

constexpr double kOne = 10.0 * 1382 / 1316;

// Two cores side by side, two access switches on both; ten channels of 10 Mbit/s at core-1.
NetworkBuilder ring() {
    NetworkBuilder b(std::vector<BitRate>(10, megabits_per_second(10)));
    b.with_switch("core-1", 4096).with_switch("core-2", 8192).with_switch("east").with_switch("west");
    b.with_link("core-1", "core-2", 10);
    b.with_link("core-1", "east").with_link("core-1", "west").with_link("core-2", "east").with_link("core-2", "west");
    b.querier("core-1", 0x0A000001).querier("core-2", 0x0A000002);
    b.with_card("A1", "core-1", 10).with_zone("east", 3).with_zone("west", 4);
    return b;
}

bool cut(const NetworkLoad& load, const std::string& failure, const std::string& zone) {
    for (const auto& c : load.cut_off)
        if (c.failure == failure && c.zone == zone) return true;
    return false;
}

}  // namespace

TEST_CASE("a failed uplink moves its streams to the link in reserve", "[unit]") {
    auto b = ring();
    const auto load = b.load();
    CHECK(direction(load, "core-2", "east").blocked);
    CHECK(mbps(direction(load, "core-2", "east").worst_mix) == 0);
    CHECK(mbps(direction(load, "core-2", "east").worst_failure) == Approx(3 * kOne).margin(1e-4));
    CHECK(direction(load, "core-2", "east").failure == "link core-1/east");
    CHECK(mbps(direction(load, "core-1", "core-2").worst_failure) == Approx(4 * kOne).margin(1e-4));
    CHECK(direction(load, "core-1", "core-2").failure == "link core-1/west");
    CHECK_FALSE(cut(load, "link core-1/east", "east zone"));
    CHECK(cut(load, "switch east", "east zone"));
}

TEST_CASE("a lost core takes its cards along, and the next querier serves the rest", "[unit]") {
    auto b = ring();
    b.with_card("A2", "core-2", 0);
    const auto load = b.load();
    REQUIRE(load.source_losses.size() == 1);
    CHECK(load.source_losses[0].failure == "switch core-1");
    CHECK(load.source_losses[0].carriages.size() == 10);
    CHECK_FALSE(cut(load, "switch core-1", "east zone"));  // nothing is sent any more
}

TEST_CASE("when the only querier is lost, what floods then counts as the failure's load", "[unit]") {
    auto b = ring();
    b.at("core-2").querier = false;
    b.at("core-1").querier = false;
    b.querier("west", 0x0A000009);
    const auto load = b.load();
    // Without west nobody queries: core-1 floods all ten to east.
    CHECK(direction(load, "core-1", "east").failure == "switch west");
    CHECK(mbps(direction(load, "core-1", "east").worst_failure) == Approx(10 * kOne).margin(1e-4));
}

TEST_CASE("a lost querier floods the displays' ports too", "[unit]") {
    NetworkBuilder b(std::vector<BitRate>(30, megabits_per_second(10)));
    b.with_switch("core", 4096).with_switch("side").with_switch("east").querier("side", 0x0A000001);
    b.with_link("core", "side").with_link("core", "east");
    b.with_card("A1", "core", 30).with_zone("east", 3);
    const auto load = b.load();
    const auto& port = direction(load, "east", "display");
    CHECK(mbps(port.worst_mix) == Approx(kOne).margin(1e-4));
    CHECK(mbps(port.worst_failure) == Approx(30 * kOne).margin(1e-4));
    CHECK(port.failure == "link core/side");
    REQUIRE(!b.findings().empty());
    CHECK(to_line(b.findings()[0]) ==
          "error: load.failure-over-limit: link zone east zone displays, east to display: when link core/side fails "
          "it carries 315.0 Mbit/s, planned are at most 100.0 Mbit/s (215.0 Mbit/s); turn snooping on, or place "
          "another querier");
    b.querier("core", 0x0A000002);
    CHECK(direction(b.load(), "east", "display").failure.empty());
}

TEST_CASE("a switch on one link is cut off with it, and the note says so", "[unit]") {
    auto b = ring();
    b.with_switch("attic").with_link("east", "attic").with_zone("attic", 2);
    const auto load = b.load();
    CHECK(cut(load, "link east/attic", "attic zone"));
    CHECK(cut(load, "switch east", "attic zone"));
    REQUIRE(b.findings().size() == 1);
    CHECK(to_line(b.findings()[0]) ==
          "note: network.zones-hang-by-one: the failure of one link, or of a switch other than its "
          "own, cuts off a zone: attic zone by link east/attic (1 of 3 zones); add a second link "
          "from their switches");
}

TEST_CASE("an overload that only a failure brings is a warning within the speed, an error beyond",
          "[unit]") {
    auto b = ring();
    b.link("core-2/west").speed = megabits_per_second(50);  // limit 40, the failure brings 42.0
    b.link("core-2/west").cost = 20'000;
    b.load();
    REQUIRE(b.findings().size() == 1);
    CHECK(to_line(b.findings()[0]) ==
          "warning: load.failure-over-limit: link core-2/west, core-2 to west: when link "
          "core-1/west fails it carries 42.0 Mbit/s, planned are at most 40.0 Mbit/s (2.0 Mbit/s); "
          "bundle 2 members of this speed, or take a faster link");
    b.link("core-2/west").speed = megabits_per_second(40);
    b.load();
    CHECK(b.findings()[0].severity == Severity::error);
}

TEST_CASE("a bundle must do with one member less", "[unit]") {
    auto b = ring();
    b.link("core-1/west").members = 2;
    b.link("core-1/west").speed = megabits_per_second(40);  // limit 64 of both, 32 of one
    b.link("core-1/west").cost = 10'000;
    b.load();
    // Its hash is not known, so that one member may be full already: a warning besides.
    REQUIRE(test::ids(b.findings()) ==
            std::vector<std::string>{"warning load.member-over-limit", "error load.member-failure-over-limit"});
    CHECK(b.findings()[1].amount == "10.0 Mbit/s");
}

TEST_CASE("a bundle that grows dearer with a lost member may lose its streams", "[unit]") {
    auto b = ring();
    auto& bundle = b.link("core-1/west");
    bundle.members = 2;
    bundle.cost = 21'000;  // by core-2 it is 22,000; with one member less 42,000
    CHECK(mbps(direction(b.load(), "core-2", "west").worst_failure) == 0);
    bundle.keeps_cost = false;
    const auto load = b.load();
    CHECK(mbps(direction(load, "core-2", "west").worst_failure) == Approx(4 * kOne).margin(1e-4));
    CHECK(direction(load, "core-2", "west").failure == "member of bundle core-1/west");
}

TEST_CASE("protected channels taken over at another switch load the way from there", "[unit]") {
    auto b = ring();
    for (auto& c : b.venue().channels) c.is_protected = true;
    b.with_card("A2", "west", 0);
    const auto load = b.load();
    // From west up to core-1, and on to east: all that east's three displays want.
    CHECK(mbps(direction(load, "west", "core-1").worst_failure) == Approx(10 * kOne).margin(1e-4));
    CHECK(direction(load, "west", "core-1").failure == "card A1 (taken over at west)");
    b.venue().protection.mode = ProtectionMode::carried_twice;
    CHECK(mbps(direction(b.load(), "west", "core-1").worst_failure) == 0);
}

TEST_CASE("a lost chassis is taken over by cards of both kinds at once", "[unit]") {
    NetworkBuilder b(std::vector<BitRate>(4, megabits_per_second(10)));
    b.with_switch("core", 4096).with_switch("west").with_switch("hub").with_switch("east").with_switch("south");
    b.querier("core", 0x0A000001).with_zone("core", 4);
    b.with_link("core", "west").with_link("core", "hub").with_link("hub", "east").with_link("hub", "south");
    b.with_card("tuner", "west", 2).with_card("encoder", "west", 2).with_card("spare tuner", "east", 0).with_card("spare encoder", "south", 0);
    auto& venue = b.venue();
    venue.card_models.emplace_back().name = "encodes";
    venue.card_models.back().kind = CardKind::encoder;
    venue.chassis.emplace_back().name = "X";
    for (const std::size_t c : {0, 1}) venue.cards[c].chassis = "X";
    for (const std::size_t c : {1, 3}) venue.cards[c].model = "encodes";
    for (auto& c : venue.channels) c.is_protected = true;
    const auto load = b.load();
    const auto& from_hub = direction(load, "hub", "core");
    CHECK(mbps(from_hub.worst_failure) == Approx(4 * kOne).margin(1e-4));
    CHECK(from_hub.failure.starts_with("chassis X (taken over at "));
    CHECK(mbps(direction(load, "east", "hub").worst_failure) == Approx(2 * kOne).margin(1e-4));
    CHECK(mbps(direction(load, "south", "hub").worst_failure) == Approx(2 * kOne).margin(1e-4));
}

TEST_CASE("what waits in the group of the first is sent what it listens to, and sends once the first is lost", "[unit]") {
    auto b = ring();
    for (auto& c : b.venue().channels) c.is_protected = true;
    b.with_card("A2", "west", 0).with_card("A3", "east", 0);
    b.venue().protection = {.mode = ProtectionMode::carried_twice, .second = SecondCarriage::same_group};
    const auto channels = b.assignment().homes.size();
    std::vector<std::string> all;
    for (std::size_t c = 0; c < channels; ++c) all.push_back(to_text(b.venue().channels[c].number));
    auto recorder = b;
    const auto without = b.load(), recorded = recorder.with_zone("west", 0, {}, all).load();
    for (std::size_t c = 0; c < channels; ++c) b.assignment().homes.push_back({.channel = c, .copy = 2, .card = 1});
    const auto load = b.load();
    for (std::size_t i = 0; i < 2 * b.venue().links.size(); ++i) {
        CHECK(load.links[i].scheduled == recorded.links[i].scheduled);
        CHECK(load.links[i].worst_mix == recorded.links[i].worst_mix);
    }
    CHECK(mbps(direction(without, "west", "core-1").worst_failure) == 0);
    // As where a reserve takes them over there: all that east's three displays want. None waits at east.
    CHECK(mbps(direction(load, "west", "core-1").worst_failure) == Approx(10 * kOne).margin(1e-4));
    CHECK(direction(load, "west", "core-1").failure == "card A1 (taken over at west)");
    for (const auto& link : load.links) CHECK(link.failure.find("east)") == std::string::npos);
}

TEST_CASE("a card that waits sends when the switch of the first is lost, or the only way from it", "[unit]") {
    NetworkBuilder b(std::vector<BitRate>(4, megabits_per_second(10)));
    b.with_switch("core", 4096).with_switch("west").with_switch("east").querier("core", 0x0A000001);
    b.with_link("core", "west").with_link("core", "east").with_zone("core", 2).with_zone("west", 1);
    b.with_card("A1", "west", 4).with_card("A2", "east", 0);
    for (auto& c : b.venue().channels) c.is_protected = true;
    b.venue().protection = {.mode = ProtectionMode::carried_twice, .second = SecondCarriage::same_group};
    b.assignment().homes.push_back({.channel = 0, .copy = 2, .card = 1});
    b.assignment().homes.push_back({.channel = 1, .copy = 2, .card = 1});
    const auto load = b.load();
    const auto& from_east = direction(load, "east", "core");
    CHECK(mbps(from_east.worst_mix) == 0);
    CHECK(mbps(from_east.worst_failure) == Approx(2 * kOne).margin(1e-4));
    CHECK(from_east.failure == "link core/west");
    // West's own display has the four as before.
    for (const auto& c : load.cut_off) CHECK(c.failure.starts_with("switch "));
    REQUIRE(load.source_losses.size() == 2);
    CHECK(load.source_losses[0].failure == "link core/west");
    CHECK(load.source_losses[0].carriages == std::vector<std::size_t>{2, 3});
    CHECK(load.source_losses[1].failure == "switch west");
    CHECK(load.source_losses[1].carriages == std::vector<std::size_t>{2, 3});
}

}  // namespace failures_test
