// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "flows.hpp"
#include "mastline/bytes/crc32.hpp"
#include "tools/rehearse/ts/descriptors.hpp"
#include "tools/rehearse/ts/sections.hpp"

using namespace mastline;

namespace {

std::string hex(ByteView bytes) {
    static constexpr char digits[] = "0123456789ABCDEF";
    std::string out;
    for (const std::byte b : bytes) {
        out += digits[std::to_integer<unsigned>(b) >> 4];
        out += digits[std::to_integer<unsigned>(b) & 15];
    }
    return out;
}

}  // namespace

// ISO/IEC 13818-1 tables 2-30 and 2-33, worked by hand; CRC_32 by the RevEng catalogue's
// CRC-32/MPEG-2.
TEST_CASE("PAT and PMT are laid out as the standard's tables", "[outside]") {
    Expectation flow = test::television();
    flow.program_number = {1};
    flow.pmt_pid = Pid(0x1000);
    flow.pcr_pid = Pid(0x100);
    flow.components = {{Pid(0x100), "h264", ""}, {Pid(0x101), "aac", ""}};
    CHECK(hex(pat_section(flow)) == "00B00D0001C100000001F0002AB104B2");
    CHECK(hex(pmt_section(flow)) == "02B0170001C10000E100F0001BE100F0000FE101F0002F44B99B");
}

TEST_CASE("every section with a CRC_32 checks to zero", "[unit]") {
    const Expectation flow = test::television();
    for (const Section& section : {pat_section(flow), pmt_section(flow), sdt_section(flow),
                                   cue_section(), private_section()}) {
        CHECK(crc32_mpeg2(section) == 0);
        CHECK((read_u16(section, 1) & 0xFFFU) + 3U == section.size());
    }
}

// EN 300 468 table 26, worked by hand: HD AVC service, provider "ABC", name "TEST".
TEST_CASE("a service descriptor is laid out as its table", "[outside]") {
    Expectation flow = test::television();
    flow.provider = "ABC";
    flow.service_name = "TEST";
    CHECK(hex(service_descriptor(flow).view()) == "480A19034142430454455354");
}

TEST_CASE("a name beyond ASCII is marked as UTF-8", "[unit]") {
    CHECK(dvb_text("Harbour 1") == "Harbour 1");
    CHECK(dvb_text("Zürich") == "\x15Zürich");  // EN 300 468 table A.3
    CHECK(dvb_text("") == "");
}

// The example of EN 300 468 Annex C: 93/10/13 12:45:00 is coded as 0xC079124500.
TEST_CASE("UTC is written as in the example of EN 300 468", "[outside]") {
    using namespace std::chrono;
    std::array<std::byte, 5> out{};
    write_utc_time(out, sys_days(year{1993} / 10 / 13) + hours(12) + minutes(45));
    CHECK(hex(out) == "C079124500");
}

TEST_CASE("a TDT is eight bytes and has no CRC", "[unit]") {
    CHECK(hex(tdt_section(UtcSeconds{})) == "7070059E8B000000");  // MJD 40587, midnight
}

// SCTE 35 table 5: section_length 17, tier 0xFFF, splice_null.
TEST_CASE("a cue stream's heartbeat is a splice_null", "[unit]") {
    CHECK(hex(cue_section()).substr(0, 32) ==
          "FC3011000000000000"
          "00FFF0000000"
          "00");
}

TEST_CASE("each kind of component gets the descriptors that name it", "[unit]") {
    const auto descriptors = [](std::string_view kind, std::string_view language) {
        return hex(component_descriptors(*stream_kind_named(kind), language).view());
    };
    CHECK(descriptors("h264", "eng") == "");
    CHECK(descriptors("aac", "eng") == "0A04656E6700");
    CHECK(descriptors("ac3", "") == "6A0100");
    CHECK(descriptors("eac3", "fra") == "0A04667261007A0100");
    CHECK(descriptors("ac3-atsc", "") == "050441432D33");
    CHECK(descriptors("teletext", "eng") == "5605656E670900");
    CHECK(descriptors("subtitles", "deu") ==
          "5908646575"
          "10"
          "0001"
          "0001");
}

TEST_CASE("a section longer than one packet goes on in the next", "[unit]") {
    const std::vector<std::byte> section(200, std::byte{0xAB});
    const auto packets = section_packets(Pid(0x100), section);
    REQUIRE(packets.size() == 2);
    CHECK(starts_unit(packets[0]));
    CHECK_FALSE(starts_unit(packets[1]));
    CHECK(read_u8(packets[0], 4) == 0);          // pointer_field
    CHECK(read_u8(packets[1], 4 + 16) == 0xAB);  // 183 bytes in the first, 17 in the second
    CHECK(read_u8(packets[1], 4 + 17) == 0xFF);
}
