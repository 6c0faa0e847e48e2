// SPDX-License-Identifier: Apache-2.0
// Snooping configurations, validated by libyang against the module of RFC 9166.
#include "mastline/sheets/snooping_config.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "tests/support/network_builder.hpp"
#include "support/paths.hpp"
#include "tests/support/run_command.hpp"
#include "tests/support/temp_folder.hpp"

using namespace mastline;

namespace {

using nlohmann::json;

// What yanglint says of `data`. The modules of RFC 8343, 8349 and 6991 are Debian's
// (libyuma-base); the others are in tests/network/yang, with their sources: every configuration
// node of RFC 9166, and of the modules around it what those refer to.
test::CommandResult validate(const std::string& data) {
    test::TempFolder folder;
    test::write_text(folder.file("data.json"), data);
    const std::string own = MASTLINE_SOURCE_DIR "/tests/network/yang/";
    const std::string debian = "/usr/share/yuma/modules/ietf/";
    const std::string nmda = "/usr/share/yuma/nmda-modules/ietf/";
    return test::run_command("yanglint -p " + own + " -p " + nmda + " -p " + debian + " -t config -F ietf-igmp-mld-snooping:\\* " + debian +
                             "iana-if-type@2014-05-08.yang " + own + "ieee802-dot1q-bridge.yang " + own +
                             "ietf-igmp-mld-snooping.yang " + folder.file("data.json") + " 2>&1");
}

// Two core switches with a ring, one of them a multicast router, and an edge switch.
test::NetworkBuilder ring() {
    test::NetworkBuilder b({megabits_per_second(10), megabits_per_second(8)});
    b.with_switch("core 1", 4096).with_switch("core 2", 8192).with_switch("edge");
    b.with_link("core 1", "core 2").with_link("core 1", "edge").with_link("core 2", "edge");
    b.querier("core 1", 0x0A000001).querier("core 2", 0x0A000002);
    b.with_card("A1", "core 1", 2).with_zone("edge", 4);
    return b;
}

const json& instance(const json& data, const std::string& family = "igmp") {
    for (const auto& p : data["ietf-routing:routing"]["control-plane-protocols"]["control-plane-protocol"])
        if (p["name"] == family + "-snooping")
            return p["ietf-igmp-mld-snooping:" + family + "-snooping-instance"];
    FAIL("no " << family << " snooping");
    return data;
}

std::vector<json> written(test::NetworkBuilder& b) {
    std::vector<json> out;
    for (const auto& config : write_snooping_configs(b.venue(), b.load())) {
        const auto result = validate(config.json);
        INFO(config.json << result.output);
        CHECK(result.status == 0);
        out.push_back(json::parse(config.json));
    }
    return out;
}

}  // namespace

TEST_CASE("each switch's snooping is valid data of RFC 9166, and says what was planned", "[outside]") {
    auto b = ring();
    b.at("edge").fast_leave = true;
    b.venue().network.query_interval = std::chrono::seconds(60);
    b.venue().network.last_member_query_interval = std::chrono::milliseconds(1500);
    const auto data = written(b);
    REQUIRE(data.size() == 3);
    const auto& core = instance(data[0]);
    CHECK(core["enabled"] == true);
    CHECK(core["send-query"] == true);
    CHECK(core["querier-source"] == "10.0.0.1");
    CHECK(core["igmp-version"] == 3);
    CHECK(core["query-interval"] == 60);
    CHECK(core["last-member-query-interval"] == 15);
    CHECK(core["query-max-response-time"] == 100);
    CHECK_FALSE(core.contains("fast-leave"));
    CHECK(instance(data[2])["fast-leave"] == json::array({nullptr}));
    CHECK(instance(data[2])["send-query"] == false);
    // Queriers are found by their queries: no port is fixed.
    CHECK_FALSE(instance(data[2]).contains("static-bridge-mrouter-interface"));
}

TEST_CASE("ports towards a multicast router are stated, along the tree", "[outside]") {
    auto b = ring();
    b.at("core 2").multicast_router = true;
    const auto data = written(b);
    const json to_router = json::array({"core 1/core 2"});
    CHECK(instance(data[0])["static-bridge-mrouter-interface"] == to_router);
    CHECK_FALSE(instance(data[1]).contains("static-bridge-mrouter-interface"));
    // The link from core 2 to edge is in reserve: the way is by core 1.
    CHECK(instance(data[2])["static-bridge-mrouter-interface"] == json::array({"core 1/edge"}));
}

TEST_CASE("a switch with an address binds the snooping to its bridge, or to the VLAN", "[outside]") {
    auto b = ring();
    b.at("edge").mac = MacAddress{{0x02, 0, 0, 0, 0xAB, 3}};
    auto data = written(b);
    CHECK_FALSE(data[0].contains("ieee802-dot1q-bridge:bridges"));
    const auto& bridge = data[2]["ieee802-dot1q-bridge:bridges"]["bridge"][0];
    CHECK(bridge["address"] == "02-00-00-00-ab-03");
    CHECK(bridge["ietf-igmp-mld-snooping:igmp-snooping-instance"] == "igmp-snooping");
    b.venue().addressing.vlan = 120;
    data = written(b);
    const auto& vlan =
        data[2]["ieee802-dot1q-bridge:bridges"]["bridge"][0]["component"][0]["bridge-vlan"]["vlan"][0];
    CHECK(vlan["vid"] == 120);
    CHECK(vlan["ietf-igmp-mld-snooping:igmp-snooping-instance"] == "igmp-snooping");
}

TEST_CASE("IPv6 groups bring MLD snooping", "[outside]") {
    auto b = ring();
    b.venue().addressing.ranges = {test::range("ff15::8000:0/112")};
    const auto data = written(b);
    const auto& mld = instance(data[0], "mld");
    CHECK(mld["mld-version"] == 2);
    CHECK_FALSE(mld.contains("querier-source"));  // its address is of IPv4
}

TEST_CASE("libyang refuses what the module of RFC 9166 does not allow", "[outside]") {
    auto b = ring();
    auto data = json::parse(write_snooping_configs(b.venue(), b.load())[0].json);
    auto& protocol =
        data["ietf-routing:routing"]["control-plane-protocols"]["control-plane-protocol"][0];
    protocol["ietf-igmp-mld-snooping:igmp-snooping-instance"]["last-member-query-interval"] = 5;
    CHECK(validate(data.dump()).status != 0);
}

TEST_CASE("a timer that RFC 9166 has no value for is left out and said", "[unit]") {
    auto b = ring();
    b.venue().network.last_member_query_interval = std::chrono::milliseconds(500);
    const auto data = written(b);
    CHECK_FALSE(instance(data[0]).contains("last-member-query-interval"));
    const auto& f = b.findings();
    CHECK(std::count_if(f.begin(), f.end(), [](const Finding& one) {
              return one.id == "network.timer-not-in-model";
          }) == 1);
}

TEST_CASE("names of switches make files apart, none outside the folder", "[input]") {
    test::NetworkBuilder b({megabits_per_second(10)});
    b.with_switch("../a").with_switch(".. a").with_switch("b\"\xff");
    const auto configs = write_snooping_configs(b.venue(), b.load());
    CHECK(configs[0].file_name == "---a.json");
    CHECK(configs[1].file_name == "---a-2.json");
    CHECK(configs[2].file_name == "b--.json");
    CHECK(json::parse(configs[2].json).is_object());
}
