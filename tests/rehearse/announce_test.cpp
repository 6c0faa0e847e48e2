// SPDX-License-Identifier: Apache-2.0
// Session announcements: their bytes against RFC 2974, and live through a snooping bridge, read by
// scapy.
#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include "plan_builder.hpp"
#include "tools/rehearse/announce/sap_message.hpp"

using namespace mastline;
using namespace mastline::test;
using namespace std::string_literals;

namespace {

const std::string kDescription =
    "v=0\r\no=- 12 3 IN IP4 192.0.2.10\r\ns=One\r\nc=IN IP4 239.192.1.1/16\r\nt=0 0\r\n"
    "a=recvonly\r\nm=video 5004 udp MP2T\r\n";

std::string sap_group_text(const std::string& group) {
    return to_text(sap_group(*parse_group(group)));
}

}  // namespace

TEST_CASE("an announcement is laid out as RFC 2974 section 6 draws it", "[outside]") {
    const auto source = IpAddress::v4(0xC000020A);
    const auto message = sap_message(SapType::announcement, source, kDescription);
    CHECK(message.substr(0, 2) == std::string("\x20\x00", 2));  // V = 1, no flags, no authentication
    CHECK(message.substr(2, 2) != std::string("\0\0", 2));
    CHECK(message.substr(4, 4) == "\xC0\x00\x02\x0A"s);
    CHECK(message.substr(8, 16) == std::string("application/sdp\0", 16));
    CHECK(message.substr(24) == kDescription);
    // A changed session has another hash; a deletion names the session of its announcement.
    auto changed = kDescription;
    changed[10] = '4';
    CHECK(sap_message(SapType::announcement, source, changed).substr(2, 2) != message.substr(2, 2));
    const auto deletion = sap_message(SapType::deletion, source, kDescription);
    CHECK(deletion[0] == '\x24');
    CHECK(deletion.substr(1, 7) == message.substr(1, 7));
    CHECK(deletion.substr(24) == "o=- 12 3 IN IP4 192.0.2.10\r\n");
    const auto v6 = sap_message(SapType::announcement, *parse_ip_address("2001:db8::1"), kDescription);
    CHECK(v6[0] == '\x30');
    CHECK(v6.substr(20, 15) == "application/sdp");
}

TEST_CASE("announcements go to the group of the session's scope", "[outside]") {
    // RFC 2974 section 3: "the highest multicast address in the relevant administrative scope zone";
    // RFC 2365 section 6: 239.255.0.0/16 is the local scope, 239.192.0.0/14 the organisation's.
    CHECK(sap_group_text("239.255.7.7") == "239.255.255.255");
    CHECK(sap_group_text("239.192.0.1") == "239.195.255.255");
    CHECK(sap_group_text("239.195.9.1") == "239.195.255.255");
    // Sections 6.1.1 and 6.2.1: 239.254/16 and 239.253/16 are for the local scope to grow into, the
    // three /10 for the organisation's. That the rest is one zone is our own choice.
    CHECK(sap_group_text("239.16.33.7") == "239.63.255.255");
    CHECK(sap_group_text("239.100.0.1") == "239.127.255.255");
    CHECK(sap_group_text("239.128.0.1") == "239.191.255.255");
    CHECK(sap_group_text("239.254.0.1") == "239.254.255.255");
    CHECK(sap_group_text("239.196.0.1") == "239.252.255.255");
    CHECK(sap_group_text("232.1.1.1") == "224.2.127.254");
    CHECK(sap_group_text("224.2.200.1") == "224.2.127.254");
    // "IPv6 sessions are announced on the address FF0X:0:0:0:0:0:2:7FFE where X is the 4-bit scope".
    CHECK(sap_group_text("ff15::8000:101") == "ff05::2:7ffe");
    CHECK(sap_group_text("ff38::8000:101") == "ff08::2:7ffe");
}

TEST_CASE("a site's own scope is announced on its highest group, the narrowest first", "[outside]") {
    // The example of RFC 2974 section 3.
    const std::vector<GroupSpan> scopes{*parse_group_span("239.16.0.0/16"),
                                        *parse_group_span("239.16.32.0-239.16.33.255"),
                                        *parse_group_span("239.0.0.0/8")};
    const auto at = [&](const char* group) { return to_text(sap_group(*parse_group(group), scopes)); };
    CHECK(at("239.16.33.7") == "239.16.33.255");
    CHECK(at("239.16.34.1") == "239.16.255.255");
    CHECK(at("239.192.0.1") == "239.255.255.255");
    CHECK(at("224.2.200.1") == "224.2.127.254");
}

TEST_CASE("announcers do not fall into step", "[outside]") {
    // RFC 2974 section 3.1: offset = rand(interval * 2/3) - (interval / 3).
    using namespace std::chrono_literals;
    CHECK(sap_wait(300s, 0) == 200s);
    CHECK(sap_wait(300s, 0.5) == 300s);
    CHECK(sap_wait(300s, 1) == 400s);
}

TEST_CASE("announcements are repeated as seldom as RFC 2974 section 3.1 asks", "[outside]") {
    CHECK(sap_interval(3, 400) == std::chrono::seconds(300));
    CHECK(sap_interval(1000, 400) == std::chrono::seconds(800));  // 8 x 1000 x 400 / 4000
}

TEST_CASE("a rehearsal announces its sessions and takes them back, as scapy reads it", "[live]") {
    const TempFolder folder;
    auto first = television(), second = television();
    first.rate = second.rate = megabits_per_second(2);
    first.source = *parse_ip_address("10.20.0.11");
    second.channel = "103";
    second.flow.group = *Group::of(*parse_ip_address("ff15::db8:103"));
    second.source = *parse_ip_address("fd20::12");
    write_text(folder.file("plan.toml"), plan_text({first, second}));
    std::filesystem::create_directory(folder.file("sdp"));
    const auto describe = [&](const Expectation& flow, const std::string& type) {
        const std::string text = "v=0\r\no=- 7 2 IN " + type + " " + to_text(*flow.source) +
                                 "\r\ns=Channel " + flow.channel + "\r\nc=IN " + type + " " +
                                 to_text(flow.flow.group) + (type == "IP4" ? "/16" : "") +
                                 "\r\nt=0 0\r\nm=video 5004 udp MP2T\r\n";
        write_text(folder.file("sdp/" + flow.channel + ".sdp"), text);
        return text;
    };
    const std::string texts[] = {describe(first, "IP4"), describe(second, "IP6")};
    const std::string groups[] = {sap_group_text(to_text(first.flow.group)), "ff05::2:7ffe"};
    std::string joined;
    for (const auto& group : groups)
        joined += "for i in $(seq 100); do lab_switch bridge mdb show dev br0 | grep -q 'grp " + group +
                  " ' && break; sleep 0.1; done\n";
    // Given without nodad: the address of IPv6 is tentative when the rehearsal starts.
    write_text(folder.file("script"),
               "set -e\nlab_display /usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/rehearse/receive_sap.py display0 4 9 " +
                   groups[0] + " " + groups[1] + " >" + folder.file("heard") + " &\n" + joined +
                   "lab_head ip addr add 10.20.0.11/32 dev head0\n"
                   "lab_head ip addr add fd20::12/128 dev head0\nlab_head " +
                   rehearse_program() + " " + folder.file("plan.toml") +
                   " --interface head0 --for 2s --announce\nwait\n");
    const auto result = run_command(MASTLINE_SOURCE_DIR "/tools/lab run bash -c '. " +
                                    folder.file("script") + "' 2>&1");
    INFO(result.output);
    REQUIRE(result.status == 0);
    const auto heard = nlohmann::json::parse(read_text(folder.file("heard")));
    INFO(heard.dump(1));
    REQUIRE(heard.size() == 4);
    for (std::size_t i = 0; i < 4; ++i) {
        const std::size_t flow = i % 2;
        const auto& h = heard[i];
        CHECK(h["version"] == 1);
        CHECK(h["type"] == (i < 2 ? 0 : 1));
        CHECK(h["auth"] == 0);
        CHECK(h["flags"] == 0);
        CHECK(h["ttl"] == 255);
        CHECK(h["group"] == groups[flow]);
        const std::string source = to_text(flow == 0 ? *first.source : *second.source);
        CHECK(h["source"] == source);
        CHECK(h["from"] == source);
        CHECK(h["hash"] == heard[flow]["hash"]);
        CHECK(h["payload_type"] == "application/sdp");
        if (i < 2) CHECK(h["payload"] == texts[flow]);
        else CHECK(h["payload"].get<std::string>().starts_with("o=- 7 2 IN "));
    }
    CHECK(heard[0]["hash"] != heard[1]["hash"]);
}

TEST_CASE("a session without its description, or with another's, is refused before anything is sent",
          "[input]") {
    const TempFolder folder;
    auto flow = television();
    write_text(folder.file("plan.toml"), plan_text({flow}));
    const auto run = [&](const std::string& options) {
        return run_command(rehearse_program() + " " + folder.file("plan.toml") + " --announce " + options + " 2>&1");
    };
    const auto missing = run("--interface lo");
    CHECK(missing.status == 2);
    CHECK(missing.output.find("sdp/" + flow.channel + ".sdp") != std::string::npos);
    std::filesystem::create_directory(folder.file("sdp"));
    write_text(folder.file("sdp/" + flow.channel + ".sdp"), "v=0\r\nc=IN IP4 239.1.1.1/3\r\n");
    const auto other = run("--interface lo");
    CHECK(other.status == 2);
    CHECK(other.output.find("it does not describe " + to_text(flow.flow.group)) != std::string::npos);
    CHECK(run("--write " + folder.file("out")).status == 2);
}
