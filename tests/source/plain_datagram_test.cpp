// SPDX-License-Identifier: Apache-2.0
#include "probe/source/plain_datagram.hpp"

#include "mastline/source/ip_header.hpp"
#include "support/dice.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

// Ethernet, IPv4 (RFC 791), UDP (RFC 768), twenty bytes of payload, four of padding.
Bytes frame_of_udp() {
    Bytes out(14 + 20 + 8 + 20 + 4, std::byte{0x5A});
    const auto put = [&](std::size_t at, std::initializer_list<int> values) {
        for (const int v : values) out[at++] = static_cast<std::byte>(v);
    };
    put(12, {0x08, 0x00, 0x45, 0xB8, 0, 48, 0, 0, 0x40, 0, 16, 17, 0, 0, 10, 0, 0, 1, 239, 1, 2, 3});
    put(34, {0x13, 0x88, 0x13, 0x89, 0, 28, 0, 0});
    return out;
}

std::optional<Datagram> the_long_way(const CapturedFrame& frame) {
    const auto framed = ip_in_frame(frame.link, frame.bytes);
    if (!framed) return std::nullopt;
    const auto packet = parse_ip_packet(framed->packet);
    if (!packet || packet->fragment || packet->protocol != kProtocolUdp) return std::nullopt;
    const auto datagram = parse_udp(*packet);
    return datagram ? std::optional(*datagram) : std::nullopt;
}

bool same(const Datagram& a, const Datagram& b) {
    return a.payload.data() == b.payload.data() && a.payload.size() == b.payload.size() && a.source == b.source &&
           a.destination == b.destination && a.source_port == b.source_port && a.port == b.port && a.ttl == b.ttl &&
           a.dscp == b.dscp && a.truncated == b.truncated;
}

}  // namespace

TEST_CASE("a plain datagram is read the short way as the long way", "[property]") {
    Dice dice(7);
    int taken = 0, refused = 0;
    for (int n = 0; n < 200'000; ++n) {
        Bytes bytes = frame_of_udp();
        for (auto changes = dice.below(3); changes > 0; --changes)
            bytes[dice.below(42)] = static_cast<std::byte>(dice.one_in(2) ? dice.below(256) : dice.below(70));
        if (dice.one_in(4)) bytes.resize(dice.below(static_cast<std::uint32_t>(bytes.size() + 1)));
        const CapturedFrame frame{bytes, Duration(n), true, dice.one_in(8) ? kLinkRaw : kLinkEthernet};
        Datagram found;
        if (!read_plain_datagram(frame, found)) {
            ++refused;
            continue;
        }
        ++taken;
        const auto expected = the_long_way(frame);
        REQUIRE(expected);
        REQUIRE(same(found, *expected));
        REQUIRE(found.frame.bytes.size() == bytes.size());
        REQUIRE(found.frame.vlans == VlanTags{true, 0, {}});
        REQUIRE(found.arrival == Duration(n));
    }
    CHECK(taken > 50'000);
    CHECK(refused > 50'000);
}
