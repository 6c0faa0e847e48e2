// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/ts/section.hpp"
#include "mastline/ts/section_assembler.hpp"
#include "support/damage.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

// What an assembler hands over, as it comes.
struct Collected {
    SectionAssembler assembler;
    std::vector<Bytes> whole;
    int cut = 0;
    void feed(const Bytes& payload, bool start) {
        assembler.feed(
            payload, start, [&](ByteView s) { whole.emplace_back(s.begin(), s.end()); },
            [&](ByteView) { ++cut; });
    }
};

Bytes slice(const Bytes& from, std::size_t at, std::size_t size) {
    return Bytes(from.begin() + signed_index(at), from.begin() + signed_index(at + size));
}
Bytes stuffed(Bytes payload) {
    payload.resize(184, std::byte{0xFF});
    return payload;
}
Bytes long_section(std::size_t body) {
    SectionBuilder s{.table_id = 0x42, .extension = 7};
    for (std::size_t i = 0; i < body; ++i) s.body.push_back(static_cast<std::byte>(i));
    return s.build();
}

}  // namespace

TEST_CASE("a section's head is read and its body lies before the CRC", "[unit]") {
    const Bytes bytes = pat_section(0x1234, {{1, 0x1000}}, 5);
    const auto section = parse_section(bytes);
    REQUIRE(section);
    CHECK(section->table_id == 0);
    CHECK(section->table_id_extension == 0x1234);
    CHECK(section->version_number == 5);
    CHECK(section->current_next_indicator);
    CHECK(section->body.size() == 4);
    CHECK(section_crc_is_right(bytes));
    CHECK_FALSE(section_crc_is_right(flip_crc(bytes)));
}

TEST_CASE("sections whose lengths lie are refused", "[unit]") {
    Bytes bytes = pat_section(1, {{1, 0x1000}});
    bytes[2] = std::byte{12};
    CHECK(parse_section(bytes).error().reason == "section_length is not the length of the section");
    CHECK_FALSE(parse_section(Bytes(2)));
    CHECK(parse_section(bytes_of({0x00, 0xB0, 0x04, 0, 1, 0xC1, 0})).error().reason ==
          "section_length below 9 in the long form");
    const Bytes above = SectionBuilder{.table_id = 0x42, .number = 3, .last_number = 2}.build();
    CHECK(parse_section(above).error().reason == "section_number above last_section_number");
}

TEST_CASE("a section inside one packet is handed over", "[unit]") {
    Collected c;
    const Bytes pat = pat_section(1, {{1, 0x1000}});
    c.feed(stuffed(joined({bytes_of({0}), pat})), true);
    REQUIRE(c.whole.size() == 1);
    CHECK(c.whole[0] == pat);
}

TEST_CASE("several sections in one packet are told apart", "[unit]") {
    Collected c;
    const Bytes a = pat_section(1, {{1, 0x1000}}), b = pat_section(2, {{2, 0x1001}});
    c.feed(stuffed(joined({bytes_of({0}), a, b})), true);
    REQUIRE(c.whole.size() == 2);
    CHECK(c.whole[1] == b);
}

TEST_CASE("a section over packets is put together, its end in front of the pointer", "[unit]") {
    Collected c;
    const Bytes big = long_section(400), next = pat_section(1, {{1, 0x1000}});
    c.feed(joined({bytes_of({0}), slice(big, 0, 183)}), true);
    c.feed(slice(big, 183, 184), false);
    const std::size_t left = big.size() - 183 - 184;
    c.feed(stuffed(joined({bytes_of({static_cast<int>(left)}), slice(big, 367, left), next})), true);
    REQUIRE(c.whole.size() == 2);
    CHECK(c.whole[0] == big);
    CHECK(c.whole[1] == next);
    CHECK(c.cut == 0);
}

TEST_CASE("a section may begin with less than its length field in the packet", "[unit]") {
    Collected c;
    const Bytes filler = long_section(180 - 12 + 1), big = long_section(100);
    REQUIRE(filler.size() == 181);
    c.feed(joined({bytes_of({0}), filler, slice(big, 0, 2)}), true);
    c.feed(stuffed(slice(big, 2, big.size() - 2)), false);
    REQUIRE(c.whole.size() == 2);
    CHECK(c.whole[1] == big);
}

TEST_CASE("after a lost packet only what begins afresh counts", "[unit]") {
    Collected c;
    const Bytes big = long_section(400), next = pat_section(1, {{1, 0x1000}});
    c.feed(joined({bytes_of({0}), slice(big, 0, 183)}), true);
    c.assembler.interrupt();
    c.feed(slice(big, 367, 45), false);
    CHECK(c.whole.empty());
    c.feed(stuffed(joined({bytes_of({0}), next})), true);
    CHECK(c.whole.size() == 1);
    CHECK(c.cut == 0);
}

TEST_CASE("a section that another one cuts off is reported", "[unit]") {
    Collected c;
    const Bytes big = long_section(400), next = pat_section(1, {{1, 0x1000}});
    c.feed(joined({bytes_of({0}), slice(big, 0, 183)}), true);
    c.feed(stuffed(joined({bytes_of({0}), next})), true);
    CHECK(c.cut == 1);
    CHECK(c.whole.size() == 1);
}

TEST_CASE("a pointer beyond the packet and a length beyond 4096 take nothing in", "[unit]") {
    Collected c;
    c.feed(joined({bytes_of({184}), Bytes(183)}), true);
    CHECK(c.whole.empty());
    c.feed(stuffed(bytes_of({0, 0x42, 0xBF, 0xFF})), true);
    CHECK(c.whole.empty());
    CHECK(c.cut == 1);
}
