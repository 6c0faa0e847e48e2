// SPDX-License-Identifier: Apache-2.0
#include "mastline/rtp/header.hpp"

using namespace mastline;

namespace {
std::vector<std::byte> bytes(std::initializer_list<int> values, std::size_t more = 0) {
    std::vector<std::byte> out;
    for (const int v : values) out.push_back(static_cast<std::byte>(v));
    out.resize(out.size() + more);
    return out;
}
}  // namespace

TEST_CASE("an RTP header of MPEG-2 transport packets is read field by field", "[outside]") {
    // RFC 3550 section 5.1, RFC 3551 payload type 33: 80 21 FF FA is V=2, PT 33, sequence 65530.
    const auto header = parse_rtp(bytes({0x80, 0x21, 0xFF, 0xFA, 0, 1, 0x5F, 0x90, 0xDE, 0xAD, 0xBE, 0xEF}));
    REQUIRE(header);
    CHECK(header->payload_type == kPayloadTypeMp2t);
    CHECK(header->sequence_number == 65530);
    CHECK(header->timestamp == 90'000);
    CHECK(header->ssrc == 0xDEADBEEF);
    CHECK_FALSE(header->marker);
    CHECK(header->size == 12);
    CHECK(header->padding == 0);
}

TEST_CASE("contributing sources, extension and padding are not payload", "[unit]") {
    auto datagram = bytes({0xB2, 0xA1, 0, 1, 0, 0, 0, 0, 0, 0, 0, 1,  // P, X, CC 2, M
                           0, 0, 0, 2, 0, 0, 0, 3,                    // two CSRC
                           0xBE, 0xDE, 0, 1, 0, 0, 0, 0},             // extension of one word
                          8);
    datagram.back() = std::byte{4};
    const auto header = parse_rtp(datagram);
    REQUIRE(header);
    CHECK(header->marker);
    CHECK(header->size == 28);
    CHECK(header->padding == 4);
}

TEST_CASE("RTP headers that are cut short or contradict are refused", "[input]") {
    CHECK(parse_rtp(bytes({0x80, 0x21})).error().reason == "RTP header is cut short");
    CHECK(parse_rtp(bytes({0x40, 0x21}, 10)).error().reason == "RTP version is not 2");
    CHECK(parse_rtp(bytes({0x8F, 0x21}, 10)).error().reason == "RTP header is cut short");
    CHECK(parse_rtp(bytes({0x90, 0x21}, 10)).error().reason == "header extension is cut short");
    CHECK(parse_rtp(bytes({0xA0, 0x21}, 10)).error().reason == "padding is announced but absent");
    auto padded = bytes({0xA0, 0x21}, 14);
    padded.back() = std::byte{5};
    CHECK(parse_rtp(padded).error().reason == "padding exceeds the packet");
}
