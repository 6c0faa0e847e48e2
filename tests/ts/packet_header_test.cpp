// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/ts/packet_header.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

PacketBytes with_header(std::initializer_list<int> four) {
    PacketBytes out{};
    std::size_t i = 0;
    for (const int b : four) out[i++] = static_cast<std::byte>(b);
    return out;
}

}  // namespace

TEST_CASE("the header fields are where the standard puts them", "[unit]") {
    // ISO/IEC 13818-1, 2.4.3.2; values worked by hand.
    const auto sdt = parse_packet_header(with_header({0x47, 0x40, 0x11, 0x10}));
    REQUIRE(sdt);
    CHECK(sdt->payload_unit_start_indicator);
    CHECK(sdt->pid == Pid(0x11));
    CHECK(sdt->has_payload);
    CHECK_FALSE(sdt->has_adaptation_field);
    CHECK(sdt->continuity_counter == 0);

    const auto mixed = parse_packet_header(with_header({0x47, 0x01, 0x00, 0x3A}));
    REQUIRE(mixed);
    CHECK(mixed->pid == Pid(0x100));
    CHECK(mixed->has_adaptation_field);
    CHECK(mixed->has_payload);
    CHECK(mixed->continuity_counter == 10);

    CHECK(parse_packet_header(with_header({0x47, 0x1F, 0xFF, 0x10}))->pid == kNullPid);
    CHECK(parse_packet_header(with_header({0x47, 0x80, 0x64, 0x10}))->transport_error_indicator);
    CHECK(parse_packet_header(with_header({0x47, 0x20, 0x64, 0x10}))->transport_priority);
    CHECK(parse_packet_header(with_header({0x47, 0x00, 0x64, 0xD0}))->transport_scrambling_control == 3);
}

TEST_CASE("a packet without its sync byte has no header", "[unit]") {
    CHECK_FALSE(parse_packet_header(with_header({0x46, 0x40, 0x11, 0x10})));
}
