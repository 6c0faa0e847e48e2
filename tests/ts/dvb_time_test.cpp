// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/ts/dvb_time.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

TEST_CASE("the standard's own example of a time is read", "[outside]") {
    // EN 300 468, 5.2.5: 93/10/13 12:45:00 is coded as 0xC079124500; 5.2.4: 01:45:30 is 0x014530.
    const Bytes coded = bytes_of({0xC0, 0x79, 0x12, 0x45, 0x00});
    CHECK(utc_text(coded, 0) == "1993-10-13T12:45:00Z");
    CHECK(bcd_duration(bytes_of({0x01, 0x45, 0x30}), 0) == std::chrono::seconds(6330));
}

TEST_CASE("undefined and impossible times are none", "[unit]") {
    CHECK(utc_text(bytes_of({0xFF, 0xFF, 0xFF, 0xFF, 0xFF}), 0).empty());
    CHECK(utc_text(bytes_of({0xC0, 0x79, 0x24, 0x00, 0x00}), 0).empty());
    CHECK_FALSE(bcd_duration(bytes_of({0x01, 0x60, 0x00}), 0));
    CHECK_FALSE(bcd_duration(bytes_of({0x0A, 0x00, 0x00}), 0));
}

TEST_CASE("time tables give their time", "[unit]") {
    const Bytes tdt = bytes_of({0x70, 0x70, 0x05, 0xC0, 0x79, 0x12, 0x45, 0x00});
    CHECK(parse_time_table(*parse_section(tdt)) == "1993-10-13T12:45:00Z");
    // A/65 counts GPS seconds; 1'000'000'000 - 15 leap seconds is 2011-09-14T01:46:25Z.
    const Bytes stt = SectionBuilder{.table_id = 0xCD, .body = bytes_of({0, 0x3B, 0x9A, 0xCA, 0x00, 15, 0, 0})}.build();
    CHECK(parse_system_time_table(*parse_section(stt)) == "2011-09-14T01:46:25Z");
    CHECK(parse_time_table(*parse_section(stt)).empty());
}
