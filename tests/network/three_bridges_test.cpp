// SPDX-License-Identifier: Apache-2.0
// The figures of the plan against bytes counted on real bridges.
#include <unistd.h>

#include <array>
#include <catch2/catch.hpp>
#include <cstdio>
#include <map>
#include <nlohmann/json.hpp>

#include "support/network_builder.hpp"
#include "support/paths.hpp"

using namespace mastline;
using test::direction;
using test::NetworkBuilder;

namespace {

// Bytes that left each port of three_bridges.py within the 2 s of sending.
std::map<std::string, double> counted(const std::string& mode) {
    const std::string command = std::string("timeout 60 unshare ") + (geteuid() == 0 ? "" : "-U -r ") +
                                "-n -m /usr/bin/python3 " MASTLINE_SOURCE_DIR
                                "/tests/network/three_bridges.py " + mode;
    std::string text;
    FILE* pipe = popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::array<char, 4096> buffer{};
    while (const auto n = std::fread(buffer.data(), 1, buffer.size(), pipe)) text.append(buffer.data(), n);
    REQUIRE(pclose(pipe) == 0);
    std::map<std::string, double> out;
    const auto json = nlohmann::json::parse(text);
    for (const auto& [port, counts] : json.items()) out[port] = counts["bytes"].get<double>();
    return out;
}

// The same in the planner's words: five channels of 100 to 500 datagrams in 2 s.
NetworkBuilder three_switches() {
    std::vector<BitRate> rates;
    for (std::int64_t i = 1; i <= 5; ++i) rates.emplace_back(i * 100 * 1316 * 8 / 2);
    NetworkBuilder b(rates);
    b.with_switch("core", 4096).with_switch("east").with_switch("west");
    b.with_link("core", "east").with_link("core", "west").querier("core", 0x0A090001);
    b.with_card("A1", "core", 5).with_zone("east", 2, {"101", "103"}).with_zone("west", 1, {"102"});
    return b;
}

// A wire rate as bytes that an interface counts in 2 s: frames of 1358 of 1382 bytes.
double bytes_of(BitRate wire) {
    return static_cast<double>(wire.bits_per_second()) * 1358 / 1382 * 2 / 8;
}

}  // namespace

TEST_CASE("links carry on real bridges what the plan says as scheduled, within 1 %", "[live]") {
    auto ports = counted("snooping");
    const auto load = three_switches().load();
    const auto& east = direction(load, "core", "east");
    const auto& west = direction(load, "core", "west");
    CHECK(ports.at("core-east") == Approx(bytes_of(east.scheduled)).epsilon(0.01));
    CHECK(ports.at("core-west") == Approx(bytes_of(west.scheduled)).epsilon(0.01));
    CHECK(ports.at("west-two") == Approx(bytes_of(direction(load, "west", "display").scheduled)).epsilon(0.01));
    CHECK(ports.at("east-one") == Approx(bytes_of(east.scheduled)).epsilon(0.01));
    CHECK(direction(load, "east", "core").scheduled == BitRate(0));
    CHECK(ports.at("east-core") < 2000);  // membership reports only
    CHECK(ports.at("west-core") < 2000);
}

TEST_CASE("without snooping real bridges flood what the plan says, within 1 %", "[live]") {
    auto ports = counted("flooding");
    auto b = three_switches();
    for (const auto* name : {"core", "east", "west"}) b.at(name).snooping = false;
    const auto load = b.load();
    CHECK(ports.at("core-east") == Approx(bytes_of(direction(load, "core", "east").flooded)).epsilon(0.01));
    CHECK(ports.at("core-west") == Approx(bytes_of(direction(load, "core", "west").flooded)).epsilon(0.01));
    CHECK(ports.at("east-one") == Approx(bytes_of(direction(load, "east", "display").flooded)).epsilon(0.01));
    CHECK(ports.at("west-two") == Approx(bytes_of(direction(load, "west", "display").flooded)).epsilon(0.01));
}

TEST_CASE("a multicast router port gets on a real bridge what the plan says, within 1 %", "[live]") {
    // RFC 4541 section 2.1.2: data goes to ports with members and to router ports.
    auto ports = counted("router-port");
    auto b = three_switches();
    b.at("west").multicast_router = true;
    const auto load = b.load();
    CHECK(direction(load, "core", "west").to_multicast_router);
    CHECK(ports.at("core-west") == Approx(bytes_of(direction(load, "core", "west").worst_mix)).epsilon(0.01));
    CHECK(ports.at("core-east") == Approx(bytes_of(direction(load, "core", "east").scheduled)).epsilon(0.01));
    CHECK(ports.at("west-two") == Approx(bytes_of(direction(load, "west", "display").scheduled)).epsilon(0.01));
}
