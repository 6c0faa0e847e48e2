// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/ts/cat.hpp"
#include "mastline/ts/component_kind.hpp"
#include "mastline/ts/eit.hpp"
#include "mastline/ts/nit.hpp"
#include "mastline/ts/pat.hpp"
#include "mastline/ts/pmt.hpp"
#include "mastline/ts/sdt.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

// The section in `bytes`, which outlive the call.
Section section_of(const Bytes& bytes) {
    const auto section = parse_section(bytes);
    REQUIRE(section);
    return *section;
}

std::string kind(unsigned type, const Bytes& descriptors, const Descriptors& programme = {}) {
    const Bytes bytes = pmt_section(1, 0x100, {{type, 0x100, descriptors}});
    return kind_of(parse_pmt(section_of(bytes))->components.at(0), programme);
}

}  // namespace

TEST_CASE("a PAT whose bytes and CRC are known elsewhere is read", "[outside]") {
    // CRC values computed with the RevEng catalogue's CRC-32/MPEG-2.
    const Bytes bytes = bytes_of({0x00, 0xB0, 0x11, 0x00, 0x01, 0xC1, 0x00, 0x00, 0x00, 0x00, 0xE0,
                                  0x10, 0x00, 0x65, 0xE3, 0xE8, 0x97, 0xA9, 0x32, 0x64});
    CHECK(section_crc_is_right(bytes));
    const auto pat = parse_pat(section_of(bytes));
    REQUIRE(pat);
    CHECK(pat->transport_stream_id == 1);
    CHECK(pat->network_pid == Pid(0x10));
    REQUIRE(pat->programmes.size() == 1);
    CHECK(pat->programmes[0] == Pat::Entry{{0x65}, Pid(0x3E8)});
}

TEST_CASE("a PMT gives its clock and components", "[unit]") {
    const Bytes language = descriptor(0x0A, bytes_of("eng") );
    const Bytes bytes = pmt_section(7, 0x100, {{0x1B, 0x100, {}}, {0x0F, 0x101, language}}, 0,
                                    descriptor(0x05, bytes_of("CUEI")));
    const auto pmt = parse_pmt(section_of(bytes));
    REQUIRE(pmt);
    CHECK(pmt->program_number.value == 7);
    CHECK(pmt->pcr_pid == Pid(0x100));
    CHECK(registration_of(pmt->descriptors) == "CUEI");
    REQUIRE(pmt->components.size() == 2);
    CHECK(pmt->components[1].elementary_pid == Pid(0x101));
    CHECK(languages_of(pmt->components[1].descriptors) == std::vector<std::string>{"eng"});
}

TEST_CASE("PCR_PID 0x1FFF means that the programme has no clock", "[unit]") {
    const Bytes bytes = pmt_section(1, 0x1FFF, {});
    CHECK_FALSE(parse_pmt(section_of(bytes))->pcr_pid);
}

TEST_CASE("stream types and their descriptors give the kind", "[unit]") {
    // ISO/IEC 13818-1 table 2-34; EN 300 468 table 12; ATSC A/53 part 3; SCTE 35.
    CHECK(kind(0x02, {}) == "mpeg2-video");
    CHECK(kind(0x1B, {}) == "h264");
    CHECK(kind(0x24, {}) == "hevc");
    CHECK(kind(0x11, {}) == "aac-latm");
    CHECK(kind(0x06, descriptor(0x6A, bytes_of({0}))) == "ac3");
    CHECK(kind(0x06, descriptor(0x7A, bytes_of({0}))) == "eac3");
    CHECK(kind(0x06, descriptor(0x56, {})) == "teletext");
    CHECK(kind(0x06, descriptor(0x59, {})) == "subtitles");
    CHECK(kind(0x06, descriptor(0x05, bytes_of("AC-3"))) == "ac3");
    CHECK(kind(0x06, {}) == "private-data");
    CHECK(kind(0x81, {}) == "ac3-atsc");
    CHECK(kind(0x87, {}) == "eac3-atsc");
    CHECK(kind(0x86, {}) == "scte35");
    CHECK(kind(0x42, {}) == "avs");
    CHECK(kind(0x33, {}) == "vvc");
    CHECK(kind(0x34, {}) == "vvc-layer");
    CHECK(kind(0x35, {}) == "evc");
    CHECK(kind(0x23, {}) == "second-view");
    CHECK(kind(0x2A, {}) == "hevc-layer");
    CHECK(kind(0x27, {}) == "temi");
    CHECK(kind(0x06, descriptor(0x05, bytes_of("AV01"))) == "av1");
    CHECK(kind(0x15, descriptor(0x26, joined({bytes_of({1, 0, 0xFF}), bytes_of("KLVA"), bytes_of({0, 0x0F})}))) == "klv");
    CHECK(kind(0x15, descriptor(0x26, joined({bytes_of({0xFF, 0xFF}), bytes_of("ANY "), bytes_of({0xFF}), bytes_of("ID3 ")}))) == "id3");
    CHECK(kind(0x15, descriptor(0x26, bytes_of({1, 0, 0xFF, 'K', 'L'}))) == "metadata");
    CHECK(kind(0x83, {}) == "truehd");
    CHECK(kind(0x06, descriptor(0x7B, bytes_of({0}))) == "dts");
    CHECK(kind(0x06, descriptor(0x7F, bytes_of({0x15, 0}))) == "ac4");
    CHECK(kind(0x06, descriptor(0x05, bytes_of("BSSD"))) == "smpte302m");
    CHECK(kind(0x15, descriptor(0x05, bytes_of("KLVA"))) == "klv");
    CHECK(kind(0x15, {}) == "metadata");
    CHECK(kind(0xF0, {}) == "unknown");
    CHECK(kind(0x86, {}, {{0x05, bytes_of("HDMV")}}) == "dts");
    CHECK(kind(0x88, {}, {{0x05, bytes_of("HDMV")}}) == "unknown");
}

TEST_CASE("tables cut short or of another kind are refused with the place", "[unit]") {
    Bytes odd = SectionBuilder{.table_id = 0, .body = Bytes(5)}.build();
    CHECK(parse_pat(section_of(odd)).error().reason == "length is no multiple of 4");
    const Bytes pmt = SectionBuilder{.table_id = 2, .body = bytes_of({0xE1, 0, 0xF0, 9})}.build();
    CHECK(parse_pmt(section_of(pmt)).error() == ParseFault{"program_info_length exceeds the section", 10});
    const Bytes es = SectionBuilder{.table_id = 2, .body = bytes_of({0xE1, 0, 0xF0, 0, 2, 0xE1, 0, 0xF0, 1})}.build();
    CHECK(parse_pmt(section_of(es)).error() == ParseFault{"ES_info_length exceeds the section", 12});
    CHECK_FALSE(parse_pat(section_of(pmt)));
    CHECK_FALSE(parse_sdt(section_of(pmt)));
    CHECK_FALSE(parse_nit(section_of(pmt)));
    CHECK_FALSE(parse_eit(section_of(pmt)));
    CHECK_FALSE(parse_cat(section_of(pmt)));
}

TEST_CASE("an SDT gives name, provider and type", "[unit]") {
    const Bytes service = service_descriptor(0x19, bytes_of("ABC"), bytes_of("TEST"));
    // EN 300 468, 6.2.33, written out by hand.
    CHECK(service == bytes_of({0x48, 0x0A, 0x19, 0x03, 0x41, 0x42, 0x43, 0x04, 0x54, 0x45, 0x53, 0x54}));
    const Bytes bytes = sdt_section(1, 0x22, {{101, service}, {102, {}}});
    const auto sdt = parse_sdt(section_of(bytes));
    REQUIRE(sdt);
    CHECK(sdt->original_network_id == 0x22);
    REQUIRE(sdt->services.size() == 2);
    CHECK(sdt->services[0].service_id.value == 101);
    CHECK(sdt->services[0].service_type == 0x19);
    CHECK(sdt->services[0].provider == "ABC");
    CHECK(sdt->services[0].name == "TEST");
    CHECK(sdt->services[0].running_status == 4);
    CHECK(sdt->services[1].name.empty());
}

TEST_CASE("a NIT gives the network's name and streams", "[unit]") {
    const Bytes name = descriptor(0x40, bytes_of("House"));
    SectionBuilder s{.table_id = 0x40, .extension = 0x3001};
    append_u16(s.body, 0xF000U | static_cast<unsigned>(name.size()));
    append(s.body, name);
    append(s.body, bytes_of({0xF0, 0x06, 0x00, 0x05, 0x00, 0x22, 0xF0, 0x00}));
    const Bytes bytes = s.build();
    const auto nit = parse_nit(section_of(bytes));
    REQUIRE(nit);
    CHECK(nit->network_name == "House");
    REQUIRE(nit->streams.size() == 1);
    CHECK(nit->streams[0] == Nit::Stream{5, 0x22});
}

TEST_CASE("an EIT gives its events", "[unit]") {
    const Bytes event = descriptor(0x4D, joined({bytes_of("eng"), bytes_of({4}), bytes_of("News"), bytes_of({0})}));
    SectionBuilder s{.table_id = 0x4E, .extension = 101, .last_number = 1};
    s.body = bytes_of({0, 1, 0, 0x22, 1, 0x4E, 0x00, 0x07, 0xC0, 0x79, 0x12, 0x45, 0x00, 0x01, 0x45, 0x30});
    append_u16(s.body, 0x8000U | static_cast<unsigned>(event.size()));
    append(s.body, event);
    const Bytes bytes = s.build();
    const auto eit = parse_eit(section_of(bytes));
    REQUIRE(eit);
    REQUIRE(eit->events.size() == 1);
    CHECK(eit->events[0] == Eit::Event{7, "1993-10-13T12:45:00Z", std::chrono::seconds(6330), "eng", "News"});
}
