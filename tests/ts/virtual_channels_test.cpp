// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/ts/virtual_channels.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

// One channel of A/65 table 6.4.
Bytes channel(std::string_view name, unsigned major, unsigned minor, unsigned program) {
    Bytes out;
    for (std::size_t i = 0; i < 7; ++i) append_u16(out, i < name.size() ? static_cast<unsigned char>(name[i]) : 0U);
    const unsigned long numbers = 0xF0000000UL | (major << 18) | (minor << 8) | 4;
    append_u16(out, static_cast<unsigned>(numbers >> 16));
    append_u16(out, static_cast<unsigned>(numbers & 0xFFFF));
    append(out, Bytes(4));  // carrier_frequency
    append_u16(out, 0x0801);
    append_u16(out, program);
    append_u16(out, 0x0DC2U);  // not hidden, reserved bits, service_type 2
    append_u16(out, 1);
    append_u16(out, 0xFC00);
    return out;
}

}  // namespace

TEST_CASE("a virtual channel table gives number, name and programme", "[unit]") {
    SectionBuilder s{.table_id = 0xC8, .extension = 0x0801};
    s.body = joined({bytes_of({0, 2}), channel("ARENA", 5, 1, 3), channel("HALL", 5, 2, 4), bytes_of({0xFC, 0})});
    const Bytes bytes = s.build();
    const auto section = parse_section(bytes);
    const auto table = parse_virtual_channels(*section);
    REQUIRE(table);
    REQUIRE(table->channels.size() == 2);
    CHECK(table->channels[0].short_name == "ARENA");
    CHECK(number_text(table->channels[0]) == "5.1");
    CHECK(table->channels[0].program_number.value == 3);
    CHECK(table->channels[0].service_type == 2);
    CHECK(table->channels[0].channel_tsid == 0x0801);
    CHECK(table->channels[1].minor == 2);
}

TEST_CASE("a channel's long name is that of its extended_channel_name_descriptor", "[unit]") {
    // A/65 6.9.4: tag 0xA0, a multiple_string_structure; behind a service_location_descriptor (0xA1).
    const Bytes descriptors = joined({bytes_of({0xA1, 3, 0xE1, 0x01, 0}), bytes_of({0xA0, 13, 1, 'e', 'n', 'g', 1, 0, 0, 5}), bytes_of("Arena")});
    Bytes with = channel("ARENA", 5, 1, 3);
    with[31] = static_cast<std::byte>(descriptors.size());
    const auto parsed = [](std::uint8_t table, Bytes body) {
        const Bytes bytes = SectionBuilder{.table_id = table, .body = std::move(body)}.build();
        return parse_virtual_channels(*parse_section(bytes));
    };
    const auto table = parsed(0xC8, joined({bytes_of({0, 2}), with, descriptors, channel("HALL", 5, 2, 4)}));
    REQUIRE(table);
    CHECK(table->channels[0].long_name == "Arena");
    CHECK(table->channels[1].short_name == "HALL");
    CHECK(table->channels[1].long_name.empty());
    CHECK_FALSE(parsed(0xC8, joined({bytes_of({0, 1}), with, Bytes(4)})));
}

TEST_CASE("a channel's service location says where its components are", "[unit]") {
    // A/65 6.9.5; ETM_location are the two bits in front of access_controlled (table 6.4).
    Bytes with = channel("ARENA", 5, 1, 3);
    with[26] = std::byte{0x4D};
    const auto location = [&](const Bytes& body) {
        const Bytes descriptors = descriptor(0xA1, body);
        with[31] = static_cast<std::byte>(descriptors.size());
        const Bytes bytes = SectionBuilder{.table_id = 0xC8, .body = joined({bytes_of({0, 1}), with, descriptors, bytes_of({0xFC, 0})})}.build();
        const auto table = parse_virtual_channels(*parse_section(bytes));
        CHECK(table->channels.at(0).etm_location == 1);
        return table->channels[0].location;
    };
    const Bytes elements = bytes_of({0x02, 0xE0, 0x31, 0, 0, 0, 0x81, 0xE0, 0x34, 'e', 'n', 'g'});
    const auto there = location(joined({bytes_of({0xE0, 0x31, 2}), elements}));
    REQUIRE(there);
    CHECK(there->pcr_pid == Pid(0x31));
    CHECK(there->elements == std::vector<ServiceLocation::Element>{{{0x02}, Pid(0x31), ""}, {{0x81}, Pid(0x34), "eng"}});
    CHECK_FALSE(location(bytes_of({0xFF, 0xFF, 0}))->pcr_pid);
    CHECK_FALSE(location(joined({bytes_of({0xE0, 0x31, 3}), elements})));
    CHECK_FALSE(location(bytes_of({0xE0, 0x31})));
}

TEST_CASE("what a cable table says is carried elsewhere is no programme of this stream", "[unit]") {
    // A/65 table 6.7: path_select and out_of_band where the terrestrial table has reserved bits.
    Bytes outside = channel("FAR", 7, 1, 3), analogue = channel("OLD", 8, 1, 0xFFFF), none = channel("OFF", 9, 1, 0);
    const auto channels = [&](std::uint8_t id) {
        const Bytes bytes = SectionBuilder{.table_id = id, .body = joined({bytes_of({0, 4}), outside, analogue, none, channel("NEAR", 7, 2, 4)})}.build();
        return parse_virtual_channels(*parse_section(bytes))->channels;
    };
    outside[26] = std::byte{0x0D};  // ETM_location 0, not hidden, path_select 1, out_of_band 1
    auto cable = channels(0xC9), terrestrial = channels(0xC8);
    CHECK_FALSE(cable[0].is_programme());
    CHECK(terrestrial[0].is_programme());
    CHECK_FALSE(cable[1].is_programme());
    CHECK_FALSE(cable[2].is_programme());
    outside[26] = std::byte{0x09};
    CHECK(channels(0xC9)[0].is_programme());
}

TEST_CASE("a one-part number is put together from both parts", "[unit]") {
    // A/65, 6.3.2: major 0x3F0 or above: (major & 0xF) * 1024 + minor.
    CHECK(number_text({.major = 0x3F0, .minor = 612}) == "612");
    CHECK(number_text({.major = 0x3F1, .minor = 1}) == "1025");
}

TEST_CASE("a virtual channel table that promises more channels than it has is refused", "[unit]") {
    const Bytes bytes = SectionBuilder{.table_id = 0xC9, .body = joined({bytes_of({0, 2}), channel("A", 1, 1, 1)})}.build();
    CHECK_FALSE(parse_virtual_channels(*parse_section(bytes)));
}

TEST_CASE("the master guide table names its PIDs", "[unit]") {
    const Bytes bytes = SectionBuilder{.table_id = 0xC7,
        .body = bytes_of({0, 0, 2, 0, 0, 0xFF, 0xFB, 0xE0, 0, 0, 0, 9, 0xF0, 0,
                          1, 0, 0xFD, 0x00, 0xE0, 0, 0, 0, 9, 0xF0, 0, 0xF0, 0})}.build();
    const auto pids = parse_master_guide_pids(*parse_section(bytes));
    REQUIRE(pids);
    CHECK(*pids == std::vector<Pid>{Pid(0x1FFB), Pid(0x1D00)});
}
