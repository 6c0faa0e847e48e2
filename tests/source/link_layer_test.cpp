// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/link_layer.hpp"

#include "mastline/source/ip_header.hpp"

using namespace mastline;

namespace {
std::vector<std::byte> bytes(std::initializer_list<int> values) {
    std::vector<std::byte> out;
    for (const int v : values) out.push_back(static_cast<std::byte>(v));
    return out;
}
}  // namespace

TEST_CASE("frames shorter than their own headers carry no IP", "[input]") {
    const auto frame = bytes({1, 0, 0x5E, 0, 0, 1, 2, 0, 0, 0, 0, 1, 0x81, 0x00, 0, 30, 0x08});
    for (std::size_t size = 0; size <= frame.size(); ++size)
        for (const auto link : {kLinkNull, kLinkEthernet, kLinkLoop, kLinkLinuxCooked, kLinkLinuxCooked2})
            CHECK_FALSE(ip_in_frame(link, ByteView(frame).first(size)));
}

TEST_CASE("an unknown link layer gives nothing", "[unit]") {
    const auto frame = bytes({0x45, 0, 0, 0});
    CHECK_FALSE(is_known(LinkType{105}));
    CHECK_FALSE(ip_in_frame(LinkType{105}, frame));
    CHECK(ip_in_frame(kLinkRaw, frame));
}

TEST_CASE("IP and UDP headers that contradict themselves are refused with the field", "[input]") {
    auto packet = bytes({0x45, 0, 0, 36, 0, 1, 0, 0, 8, 17, 0, 0, 10, 0, 0, 1, 239, 0, 0, 1,
                         0x9C, 0x40, 0x13, 0x8C, 0, 16, 0, 0, 1, 2, 3, 4, 5, 6, 7, 8});
    const auto good = parse_ip_packet(packet);
    REQUIRE(good);
    REQUIRE(parse_udp(*good));
    CHECK(parse_udp(*good)->payload.size() == 8);

    auto bad = packet;
    bad[0] = std::byte{0x44};
    CHECK(parse_ip_packet(bad).error().reason == "IHL is below 5");
    bad[0] = std::byte{0x75};
    CHECK(parse_ip_packet(bad).error().reason == "IP version is neither 4 nor 6");
    bad = packet;
    bad[3] = std::byte{19};
    CHECK(parse_ip_packet(bad).error().reason == "Total Length is below the header's");
    bad = packet;
    bad[25] = std::byte{7};
    CHECK(parse_udp(*parse_ip_packet(bad)).error().reason == "UDP Length is below 8");
    bad[25] = std::byte{17};
    CHECK(parse_udp(*parse_ip_packet(bad)).error().reason == "UDP Length exceeds the packet");
}

TEST_CASE("the ECN bits do not count as DSCP", "[unit]") {
    auto packet = bytes({0x45, 0x63, 0, 28, 0, 1, 0, 0, 8, 17, 0, 0, 10, 0, 0, 1, 239, 0, 0, 1,
                         0x9C, 0x40, 0x13, 0x8C, 0, 8, 0, 0});
    // RFC 4594: CS3 is 24; 24 * 4 = 0x60, here with both ECN bits set.
    CHECK(parse_ip_packet(packet)->dscp == 24);
}
