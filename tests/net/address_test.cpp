// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/net/flow.hpp"
#include "mastline/net/mac_address.hpp"

using namespace mastline;

namespace {
std::string mac(const char* group) { return to_text(mac_of(*parse_group(group))); }
}  // namespace

TEST_CASE("a group maps to the Ethernet address that RFC 1112 gives", "[outside]") {
    // RFC 1112 section 6.4: the low-order 23 bits into 01-00-5E-00-00-00.
    CHECK(mac("224.0.0.251") == "01:00:5e:00:00:fb");
    CHECK(mac("239.192.10.20") == "01:00:5e:40:0a:14");
    CHECK(mac("239.255.0.1") == "01:00:5e:7f:00:01");
    CHECK(mac("232.1.2.3") == "01:00:5e:01:02:03");
}

TEST_CASE("32 groups share one Ethernet address", "[outside]") {
    // RFC 4541 section 2.1.2 names the 32:1 overlap.
    CHECK(mac("224.1.1.1") == mac("225.1.1.1"));
    CHECK(mac("224.1.1.1") == mac("239.129.1.1"));
    int alike = 0;
    for (std::uint32_t high = 0; high < 512; ++high) {
        const auto group = Group::of(IpAddress::v4((high << 23) | 0x010101U));
        if (group && mac_of(*group) == mac_of(*parse_group("224.1.1.1"))) ++alike;
    }
    CHECK(alike == 32);
}

TEST_CASE("an IPv6 group maps to 33:33 and its low 32 bits", "[outside]") {
    // RFC 2464 section 7.
    CHECK(mac("ff02::1") == "33:33:00:00:00:01");
    CHECK(mac("ff15::db8:1234") == "33:33:0d:b8:12:34");
}

TEST_CASE("IPv6 text follows RFC 5952", "[outside]") {
    // RFC 5952 section 1 and 4: one address, many spellings, one canonical text.
    for (const auto* text : {"2001:db8:0:0:1:0:0:1", "2001:0db8:0:0:1:0:0:1", "2001:db8::1:0:0:1",
                             "2001:db8::0:1:0:0:1", "2001:DB8:0:0:1::1"})
        CHECK(to_text(*parse_ip_address(text)) == "2001:db8::1:0:0:1");
    CHECK(to_text(*parse_ip_address("2001:db8:0:1:1:1:1:1")) == "2001:db8:0:1:1:1:1:1");
    CHECK(to_text(*parse_ip_address("::")) == "::");
    CHECK(to_text(*parse_ip_address("::ffff:192.0.2.1")) == "::ffff:c000:201");
    CHECK(to_text(*parse_ip_address("fe80::")) == "fe80::");
}

TEST_CASE("what is no address is refused", "[input]") {
    for (const auto* text : {"", "1.2.3", "1.2.3.4.5", "256.1.1.1", "01.2.3.4", "1.2.3.4 ", "1:2",
                             "1:::2", "1::2::3", ":1", "1:", "1:2:3:4:5:6:7:8:9", "12345::",
                             "1:2:3:4:5:6:7:1.2.3.4", "::g"})
        CHECK_FALSE(parse_ip_address(text));
    CHECK(parse_group("10.1.2.3").error().message ==
          "\"10.1.2.3\" is not a multicast group; groups are 224.0.0.0 to 239.255.255.255 and "
          "ff00::/8");
    CHECK_FALSE(parse_mac_address("01:00:5e:40:0a"));
    CHECK_FALSE(parse_mac_address("01:00:5e:40:0a:1g"));
}

TEST_CASE("addresses order by version, then by value", "[unit]") {
    CHECK(*parse_ip_address("239.1.1.2") > *parse_ip_address("239.1.1.1"));
    CHECK(*parse_ip_address("239.1.2.0") > *parse_ip_address("239.1.1.255"));
    CHECK(*parse_ip_address("::1") > *parse_ip_address("239.1.1.1"));
}

TEST_CASE("a flow is written so that its port can be told from an IPv6 group", "[unit]") {
    CHECK(to_text(FlowAddress{*parse_group("239.192.10.20"), {5004}}) == "239.192.10.20:5004");
    CHECK(to_text(FlowAddress{*parse_group("ff15::1"), {5004}}) == "[ff15::1]:5004");
}

TEST_CASE("an Ethernet address survives text and back", "[unit]") {
    CHECK(to_text(*parse_mac_address("01:00:5E:40:0A:14")) == "01:00:5e:40:0a:14");
    CHECK(to_text(*parse_mac_address("01-00-5e-40-0a-14")) == "01:00:5e:40:0a:14");
}

TEST_CASE("a device sends from its own address, never from a group, loopback or broadcast", "[outside]") {
    // RFC 1122 section 3.2.1.3; RFC 4291 sections 2.5.2, 2.5.3 and 2.7.
    for (const char* no : {"0.0.0.0", "0.1.2.3", "127.0.0.1", "224.0.0.1", "239.1.1.1", "240.0.0.1", "255.255.255.255",
                           "::", "::1", "ff35::8000:1"}) {
        INFO(no);
        CHECK_FALSE(parse_ip_address(no)->is_sendable());
    }
    for (const char* yes : {"10.20.0.10", "169.254.1.1", "223.255.255.254", "fe80::1", "2001:db8::1", "fd00::1", "::2"}) {
        INFO(yes);
        CHECK(parse_ip_address(yes)->is_sendable());
    }
    CHECK(parse_ip_address("169.254.1.1")->is_link_local());
    CHECK(parse_ip_address("febf::1")->is_link_local());
    CHECK_FALSE(parse_ip_address("fec0::1")->is_link_local());
    CHECK_FALSE(parse_ip_address("169.253.1.1")->is_link_local());
}
