// SPDX-License-Identifier: Apache-2.0
#include "mastline/bytes/crc32.hpp"

#include <catch2/catch.hpp>

using namespace mastline;

namespace {
std::vector<std::byte> bytes(std::initializer_list<int> values) {
    std::vector<std::byte> out;
    for (const int v : values) out.push_back(static_cast<std::byte>(v));
    return out;
}
}  // namespace

TEST_CASE("CRC-32/MPEG-2 gives the catalogue's check value", "[outside]") {
    // Catalogue of parametrised CRC algorithms (RevEng), CRC-32/MPEG-2: check 0376E6E7.
    const auto text = bytes({'1', '2', '3', '4', '5', '6', '7', '8', '9'});
    CHECK(crc32_mpeg2(text) == 0x0376E6E7U);
}

TEST_CASE("a section with its CRC behind it has residue 0", "[outside]") {
    // ISO/IEC 13818-1 Annex A: the decoder's register is zero after CRC_32. PAT of one programme.
    auto pat = bytes({0x00, 0xB0, 0x0D, 0x00, 0x01, 0xC1, 0x00, 0x00, 0x00, 0x01, 0xF0, 0x00});
    CHECK(crc32_mpeg2(pat) == 0x2AB104B2U);
    for (const int b : {0x2A, 0xB1, 0x04, 0xB2}) pat.push_back(static_cast<std::byte>(b));
    CHECK(crc32_mpeg2(pat) == 0);
}

TEST_CASE("sections of every length and alignment have the CRC that the shift register gives", "[outside]") {
    // ISO/IEC 13818-1 Annex A, figure A.1: one bit at a time, most significant first.
    const auto shifted = [](ByteView message) {
        std::uint32_t c = 0xFFFFFFFFU;
        for (const std::byte b : message)
            for (int bit = 7; bit >= 0; --bit) {
                const bool feedback = ((c >> 31) ^ (std::to_integer<unsigned>(b) >> bit & 1U)) != 0;
                c = feedback ? (c << 1) ^ 0x04C11DB7U : c << 1;
            }
        return c;
    };
    std::vector<std::byte> message;
    for (int i = 0; i < 80; ++i) message.push_back(static_cast<std::byte>(i * 37 + i * i));
    for (std::size_t from = 0; from < 9; ++from)
        for (std::size_t size = 0; from + size <= message.size(); ++size) {
            const auto part = ByteView(message).subspan(from, size);
            CHECK(crc32_mpeg2(part) == shifted(part));
        }
}

TEST_CASE("numbers are read most significant byte first", "[unit]") {
    const auto data = bytes({0x12, 0x34, 0x56, 0x78, 0x9A, 0xBC, 0xDE, 0xF0, 0xFF});
    CHECK(read_u16(data, 0) == 0x1234);
    CHECK(read_u32(data, 1) == 0x3456789AU);
    CHECK(read_u64(data, 0) == 0x123456789ABCDEF0ULL);
    CHECK(read_u8(data, 8) == 0xFF);
}
