// SPDX-License-Identifier: Apache-2.0
// multiple_string_structure as A/65 clause 6.10 draws it; code points are Unicode's.
#include "mastline/ts/atsc_text.hpp"

#include "mastline/ts/virtual_channels.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace atsc_text_test {

namespace {

struct Segment {
    int compression, mode;
    Bytes bytes;
};

// One string, in English.
Bytes one_string(const std::vector<Segment>& segments) {
    Bytes out = bytes_of({1, 'e', 'n', 'g', static_cast<int>(segments.size())});
    for (const auto& s : segments) {
        append(out, bytes_of({s.compression, s.mode, static_cast<int>(s.bytes.size())}));
        append(out, s.bytes);
    }
    return out;
}

}  // namespace

TEST_CASE("the segments of an ATSC string are put together, each in its mode", "[unit]") {
    CHECK(multiple_string_text(one_string({{0, 0x00, bytes_of("Arena 5")}})) == "Arena 5");
    // Mode 0x04: U+0400 to U+04FF; 0x30: hiragana; 0x3F: UTF-16, here with a surrogate pair (U+1F3DF).
    CHECK(multiple_string_text(one_string({{0, 0x04, bytes_of({0x1A, 0x30})}, {0, 0x00, bytes_of(" / ")}, {0, 0x30, bytes_of({0x42})}})) ==
          "Ка / あ");
    CHECK(multiple_string_text(one_string({{0, 0x3F, bytes_of({0x00, 0x41, 0xD8, 0x3C, 0xDF, 0xDF})}})) == "A\U0001F3DF");
    CHECK(multiple_string_text(one_string({{0, 0x00, bytes_of({0xC4, 'r', 'e', 'n', 'a'})}})) == "Ärena");
}

TEST_CASE("what is packed or of another's mode is said to be so", "[unit]") {
    for (const auto& segment : {Segment{1, 0xFF, bytes_of({0x12, 0x34})}, Segment{2, 0xFF, bytes_of({0x12})},
                                Segment{0, 0x3E, bytes_of({0x12})}, Segment{0, 0x40, bytes_of({0x12})}})
        CHECK(multiple_string_text(one_string({segment, {0, 0x00, bytes_of(" 2")}})) == "(compressed, not decoded) 2");
    CHECK(multiple_string_text(one_string({{1, 0xFF, {}}})).empty());
}

TEST_CASE("an ATSC string that ends early gives what stood before", "[input]") {
    const Bytes whole = one_string({{0, 0x00, bytes_of("AB")}, {0, 0x00, bytes_of("CD")}});
    const std::vector<std::string> expected{"", "", "", "", "", "", "", "", "", "", "AB", "AB", "AB", "AB", "AB", "ABCD"};
    REQUIRE(expected.size() == whole.size() + 1);
    for (std::size_t size = 0; size <= whole.size(); ++size)
        CHECK(multiple_string_text(ByteView(whole).first(size)) == expected[size]);
    // Lone surrogates, U+FFFD in their place; zeros fill names up.
    CHECK(utf16_text(bytes_of({0xD8, 0x00, 0x00, 0x41, 0xDC, 0x00, 0x00, 0x00})) == "\uFFFDA\uFFFD");
}

}  // namespace atsc_text_test
