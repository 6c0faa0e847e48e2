// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/es/text_units.hpp"

#include <array>
#include <bit>
#include <string_view>
#include <vector>

#include "tools/rehearse/ts/byte_writer.hpp"

namespace mastline {

namespace {

constexpr unsigned kDataUnitLength = 44;

// Hamming 8/4 of ETS 300 706, 8.2, as received: lowest bit first.
constexpr std::array<std::uint8_t, 16> kHamming84{0x15, 0x02, 0x49, 0x5E, 0x64, 0x73, 0x38, 0x2F,
                                                  0xD0, 0xC7, 0x8C, 0x9B, 0xA1, 0xB6, 0xFD, 0xEA};

// EN 300 472 carries the bits in the order of the video line: turned round in each byte.
unsigned reversed(unsigned byte) {
    unsigned out = 0;
    for (int bit = 0; bit < 8; ++bit)
        if ((byte & (1U << bit)) != 0) out |= 0x80U >> bit;
    return out;
}

unsigned odd_parity(unsigned seven_bits) {
    return std::popcount(seven_bits) % 2 == 0 ? seven_bits | 0x80U : seven_bits;
}

// Packet 0 of page 100: magazine 1, row 0, then page and subcode digits all 0.
void add_page_header(ByteWriter& out) {
    constexpr std::string_view text = "  P100  REHEARSAL               ";
    static_assert(text.size() == 32);
    out.u8(0x02).u8(kDataUnitLength).u8(0xE7).u8(0xE4);  // field 1, line 7; framing code
    out.u8(reversed(kHamming84[1])).u8(reversed(kHamming84[0]));
    for (int digit = 0; digit < 8; ++digit) out.u8(reversed(kHamming84[0]));
    for (const char c : text) out.u8(reversed(odd_parity(static_cast<unsigned>(c))));
}

void add_stuffing_unit(ByteWriter& out) {
    out.u8(0xFF).u8(kDataUnitLength);
    for (unsigned i = 0; i < kDataUnitLength; ++i) out.u8(0xFF);
}

std::vector<std::byte> make_teletext() {
    ByteWriter out;
    out.u8(0x10);  // data_identifier: EBU data
    add_page_header(out);
    add_stuffing_unit(out);
    add_stuffing_unit(out);
    return std::move(out).take();
}

std::vector<std::byte> make_subtitle() {
    ByteWriter out;
    out.u8(0x20).u8(0x00);                               // data_identifier, stream id
    out.u8(0x0F).u8(0x10).u16(1).u16(2).u8(5).u8(0x07);  // page 1, time-out 5 s, state 01
    out.u8(0x0F).u8(0x80).u16(1).u16(0).u8(0xFF);        // end of display set, end marker
    return std::move(out).take();
}

}  // namespace

ByteView teletext_unit() {
    static const std::vector<std::byte> unit = make_teletext();
    return unit;
}

ByteView subtitle_unit() {
    static const std::vector<std::byte> unit = make_subtitle();
    return unit;
}

}  // namespace mastline
