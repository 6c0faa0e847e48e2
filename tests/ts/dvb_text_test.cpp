// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/ts/dvb_text.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

std::string text(std::initializer_list<int> bytes) { return dvb_text(bytes_of(bytes)); }

}  // namespace

TEST_CASE("text without a table byte is ISO 6937 with the euro sign", "[outside]") {
    // EN 300 468 annex A, figure A.1.
    CHECK(dvb_text(bytes_of("Arena 1")) == "Arena 1");
    CHECK(text({0xC8, 'A', 'r', 'e', 'n', 'a'}) == "Ärena");
    CHECK(text({'C', 'a', 'f', 0xC2, 'e'}) == "Café");
    CHECK(text({0xCF, 'S', 'k', 'o', 'd', 'a'}) == "Škoda");
    CHECK(text({0xF9, 0xF1, 0xE1, 0xFB}) == "øæÆß");
    CHECK(text({0xA4, '5'}) == "€5");
    CHECK(text({0xC1, 'w', 'y'}) == "w\u0300y");  // a letter that ISO 6937 has not: the mark combines
    CHECK(text({0xC2, '!'}) == "\uFFFD!");        // no letter at all
    CHECK(text({'a', 0xC2}) == "a\uFFFD");
}

TEST_CASE("the first byte chooses a part of ISO 8859", "[outside]") {
    // EN 300 468 table A.3: 0x01 is part 5, 0x05 part 9, 0x0B part 15.
    CHECK(text({0x01, 0xBF, 0xE0, 0xD8}) == "При");
    CHECK(text({0x03, 0xE1, 0xE2}) == "αβ");
    CHECK(text({0x05, 0xF0, 0xFE}) == "ğş");
    CHECK(text({0x0B, 0xA4, 0xBD}) == "€œ");
    CHECK(text({0x08, 'A', 0xC4}) == "A\uFFFD");  // reserved
}

TEST_CASE("three bytes choose a part by number", "[outside]") {
    // EN 300 468 table A.4: 0x10 0x00 0x02 is part 2.
    CHECK(text({0x10, 0x00, 0x02, 0xB1, 0xE6}) == "ąć");
    CHECK(text({0x10, 0x00, 0x0C, 0xB1}) == "\uFFFD");  // part 12 was never made
    CHECK(text({0x10}) == "");
    CHECK(text({0x1F, 0x01, 'A', 0xC4}) == "A\uFFFD");  // table A.3: an encoding_type_id comes first
    CHECK(text({0x1F}) == "");
}

TEST_CASE("two-byte text and UTF-8 are taken as they are", "[outside]") {
    CHECK(text({0x11, 0x00, 'A', 0x20, 0xAC, 0x05, 0xD0}) == "A€א");
    CHECK(text({0x15, 0xC3, 0x84, 'b'}) == "Äb");
    CHECK(text({0x15, 0xC3}) == "\uFFFD");        // cut off
    CHECK(text({0x11, 0xD8, 0x00}) == "\uFFFD");  // half a surrogate pair
}

TEST_CASE("emphasis is dropped and a line break is a space", "[outside]") {
    // EN 300 468 tables A.1 and A.2.
    CHECK(text({0x86, 'N', 'e', 'w', 0x87, 0x8A, 's'}) == "New s");
    CHECK(text({0x11, 0xE0, 0x86, 0x00, 'N', 0xE0, 0x87, 0xE0, 0x8A}) == "N ");
    CHECK(text({'a', 0x00, 0x1B, 'b'}) == "ab");
    CHECK(dvb_text({}).empty());
}

TEST_CASE("Korean and simplified Chinese are sets of pairs", "[outside]") {
    // EN 300 468 table A.3: 0x12 is KS X 1001, 0x13 GB 2312. Bytes by Python's codecs euc_kr and gb2312.
    CHECK(text({0x12, 0xB4, 0xBA, 0xBD, 0xBA, 0x20, 0xB0, 0xA1}) == "뉴스 가");
    CHECK(text({0x13, 0xD0, 0xC2, 0xCE, 0xC5, 0xD2, 0xBB}) == "新闻一");
    CHECK(text({0x12, 0xB4, 'A'}) == "\uFFFDA");  // half a pair
    CHECK(text({0x12, 0xB4}) == "\uFFFD");
    CHECK(text({0x13, 0xFF, 0xFF}) == "\uFFFD");  // no such pair
}
