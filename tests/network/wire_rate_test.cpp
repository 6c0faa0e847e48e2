// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/wire_rate.hpp"

#include <catch2/catch.hpp>

using namespace mastline;

namespace {

constexpr auto v4 = IpVersion::v4;
constexpr auto v6 = IpVersion::v6;

std::int64_t wire_bytes(Encapsulation e, IpVersion ip, bool tagged) {
    const WireFormat f{e, 7, ip, tagged};
    return payload_bytes(f) + overhead_bytes(f);
}

}  // namespace

TEST_CASE("a datagram of seven packets has the bytes of its headers around it", "[outside]") {
    // IEEE 802.3 clause 3: preamble and SFD 8, header 14, FCS 4, gap 12; IEEE 802.1Q: tag 4;
    // RFC 791: 20; RFC 8200: 40; RFC 768: 8; RFC 3550: 12. Added by hand: 1316 + 66 = 1382 ...
    CHECK(wire_bytes(Encapsulation::udp, v4, false) == 1382);
    CHECK(wire_bytes(Encapsulation::rtp, v4, false) == 1394);
    CHECK(wire_bytes(Encapsulation::udp, v4, true) == 1386);
    CHECK(wire_bytes(Encapsulation::rtp, v4, true) == 1398);
    CHECK(wire_bytes(Encapsulation::udp, v6, false) == 1402);
    CHECK(wire_bytes(Encapsulation::rtp, v6, false) == 1414);
}

TEST_CASE("an interface counter sees the frame without preamble, FCS and gap", "[outside]") {
    // IEEE 802.3: the 24 bytes that the interface's own counter leaves out of a frame on the wire.
    const WireFormat f{Encapsulation::udp, 7, v4, false, Layer::interface_counter};
    CHECK(payload_bytes(f) + overhead_bytes(f) == 1382 - 24);
}

TEST_CASE("a wire rate is exact to the bit per second, rounded up", "[unit]") {
    // 8 Mbit/s x 1382 / 1316 = 8,401,215.8
    CHECK(wire_rate(megabits_per_second(8), {}) == BitRate(8'401'216));
    CHECK(wire_rate(BitRate(0), {}) == BitRate(0));
    // One packet per datagram: 188 + 66.
    CHECK(wire_rate(BitRate(188'000), {Encapsulation::udp, 1}) == BitRate(254'000));
}

TEST_CASE("as many streams fit a gigabit link as the frame arithmetic says", "[outside]") {
    // 8 Mbit/s in UDP: 0.8 Gbit/s / (8 x 1382/1316) = 95.2; 12 in RTP: 0.7 / (12 x 1394/1316) = 55.07
    CHECK(800'000'000 / wire_rate(megabits_per_second(8), {}).bits_per_second() == 95);
    CHECK(700'000'000 /
              wire_rate(megabits_per_second(12), {Encapsulation::rtp}).bits_per_second() == 55);
    // 1 Mbit/s is 94.985 datagrams a second: 10^6 / (7 x 188 x 8).
    CHECK(frames_per_second(megabits_per_second(1), {}, nullptr) == Approx(94.985).margin(0.001));
}

TEST_CASE("FEC packets cost a header more than media and a share of the matrix", "[outside]") {
    // SMPTE 2022-1 over RTP: 12 + 16 bytes of headers and the payload of 1316. A 10 x 10 matrix
    // adds 10 column and 10 row packets to 100: 88 Mbit/s x 0.20 x 1414/1316 = 18.911 Mbit/s.
    const WireFormat tagged{Encapsulation::rtp, 7, v4, true};
    const auto rate = fec_rate(megabits_per_second(88), tagged, {10, 10, true, {}});
    CHECK(static_cast<double>(rate.bits_per_second()) / 1e6 == Approx(18.911).margin(0.001));
    // Column packets alone: one per row count of media packets.
    CHECK(fec_rate(BitRate(1316 * 8 * 100), tagged, {20, 5, false, {}}) == BitRate(1414 * 8 * 20));
}
