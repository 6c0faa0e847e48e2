// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/ts/pes_header.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

TEST_CASE("time stamps of 33 bits are read whole", "[unit]") {
    const std::uint64_t last = (std::uint64_t{1} << 33) - 1;
    const auto head = parse_pes_header(pes_packet(0xE0, last, last - 3600, bytes_of("x")));
    REQUIRE(head);
    CHECK(head->pts == PtsTicks(static_cast<std::int64_t>(last)));
    CHECK(head->dts == PtsTicks(static_cast<std::int64_t>(last - 3600)));
    CHECK(head->size == 19);
    CHECK(kPtsWrap - *head->pts == PtsTicks(1));
}

TEST_CASE("stamps may be one or none", "[unit]") {
    const auto one = parse_pes_header(pes_packet(0xC0, 90'000, {}, {}));
    REQUIRE(one);
    CHECK(one->pts == std::chrono::seconds(1));
    CHECK_FALSE(one->dts);
    const auto none = parse_pes_header(pes_packet(0xC0, {}, {}, {}));
    REQUIRE(none);
    CHECK_FALSE(none->pts);
    CHECK(none->size == 9);
}

TEST_CASE("streams without the optional head end after six bytes", "[unit]") {
    // ISO/IEC 13818-1, 2.4.3.7: padding_stream 0xBE, private_stream_2 0xBF.
    CHECK(parse_pes_header(bytes_of({0, 0, 1, 0xBF, 0, 3, 1, 2, 3}))->size == 6);
}

TEST_CASE("broken heads are named", "[unit]") {
    Bytes bytes = pes_packet(0xE0, 1, {}, {});
    CHECK(parse_pes_header(ByteView(bytes).first(5)).error().reason == "PES head cut short");
    CHECK(parse_pes_header(ByteView(bytes).first(12)).error().reason == "PES head cut short");
    bytes[2] = std::byte{2};
    CHECK(parse_pes_header(bytes).error().reason == "no packet_start_code_prefix");
    bytes = pes_packet(0xE0, 1, {}, {});
    bytes[7] = std::byte{0x40};
    CHECK(parse_pes_header(bytes).error().reason == "PTS_DTS_flags 01 is forbidden");
    bytes[7] = std::byte{0xC0};
    CHECK(parse_pes_header(bytes).error().reason == "PES_header_data_length too short for its stamps");
    bytes[6] = std::byte{0x00};
    CHECK(parse_pes_header(bytes).error().reason == "no '10' behind PES_packet_length");
}
