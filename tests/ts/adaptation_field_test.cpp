// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/ts/adaptation_field.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

TEST_CASE("a PCR is 300 times its base plus its extension", "[unit]") {
    // ISO/IEC 13818-1, 2.4.3.5: base 900000, extension 150 is 10.0000056 s.
    PacketBytes p = packet(0x100).pcr(0).build(0);
    const Bytes pcr = bytes_of({0x00, 0x06, 0xDD, 0xD0, 0x7E, 0x96});
    std::copy(pcr.begin(), pcr.end(), p.begin() + 6);
    const auto field = parse_adaptation_field(p);
    REQUIRE(field);
    CHECK(field->pcr == PcrTicks(270'000'150));
}

TEST_CASE("the largest PCR survives", "[unit]") {
    const std::uint64_t last = (std::uint64_t{1} << 33) * 300 - 1;
    const auto field = parse_adaptation_field(packet(0x100).pcr(last).build(0));
    REQUIRE(field);
    CHECK(field->pcr == PcrTicks(static_cast<std::int64_t>(last)));
    CHECK(kPcrWrap - *field->pcr == PcrTicks(1));
}

TEST_CASE("flags are read and a field may be empty", "[unit]") {
    const auto flags = parse_adaptation_field(packet(0x100).discontinuity().random_access().build(0));
    REQUIRE(flags);
    CHECK(flags->discontinuity_indicator);
    CHECK(flags->random_access_indicator);
    CHECK_FALSE(flags->pcr);
    // One byte of stuffing is adaptation_field_length 0.
    const auto empty = parse_adaptation_field(packet(0x100).payload(Bytes(183, std::byte{1})).build());
    REQUIRE(empty);
    CHECK(*empty == AdaptationField{});
}

TEST_CASE("a field that does not fit its packet is refused", "[unit]") {
    PacketBytes with_payload = packet(0x100).pcr(1).build(0);
    with_payload[4] = std::byte{183};  // 182 is the most beside a payload
    CHECK_FALSE(parse_adaptation_field(with_payload));
    PacketBytes alone = packet(0x100).adaptation_only().build();
    CHECK(parse_adaptation_field(alone)->length == 183);
    alone[4] = std::byte{184};
    CHECK_FALSE(parse_adaptation_field(alone));
    PacketBytes no_room_for_pcr = packet(0x100).pcr(1).build(0);
    no_room_for_pcr[4] = std::byte{6};
    CHECK_FALSE(parse_adaptation_field(no_room_for_pcr));
}
