// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/atsc_text.hpp"

#include "utf8.hpp"

namespace mastline {

namespace {

constexpr unsigned kUtf16 = 0x3F;

// A/65 table 6.41: the mode is the upper byte of every character.
bool is_code_range(unsigned mode) {
    return mode <= 0x06 || (mode >= 0x09 && mode <= 0x0E) || mode == 0x10 || (mode >= 0x20 && mode <= 0x27) ||
           (mode >= 0x30 && mode <= 0x33);
}

// Line breaks and other control codes are no part of a name.
void put_character(std::string& out, std::uint32_t c) {
    if (c == '\n' || c == '\r') out += ' ';
    else if (c >= 0x20 && (c < 0x7F || c > 0x9F)) append_utf8(out, c);
}

std::string segment_text(unsigned compression, unsigned mode, ByteView bytes) {
    if (compression != 0) return kUndecodedText;
    if (mode == kUtf16) return utf16_text(bytes);
    if (!is_code_range(mode)) return kUndecodedText;
    std::string out;
    for (std::size_t i = 0; i < bytes.size(); ++i) put_character(out, (mode << 8) + read_u8(bytes, i));
    return out;
}

}  // namespace

std::string utf16_text(ByteView bytes) {
    std::string out;
    for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) {
        const std::uint32_t first = read_u16(bytes, i);
        const std::uint32_t second = i + 3 < bytes.size() ? read_u16(bytes, i + 2) : 0U;
        if ((first & 0xFC00U) == 0xD800U && (second & 0xFC00U) == 0xDC00U) {
            put_character(out, 0x10000U + ((first & 0x3FFU) << 10) + (second & 0x3FFU));
            i += 2;
        } else {
            put_character(out, first);
        }
    }
    return out;
}

// number_strings 8 | for each: ISO_639_language_code 24 | number_segments 8 | for each segment:
// compression_type 8 | mode 8 | number_bytes 8 | bytes
std::string multiple_string_text(ByteView bytes) {
    std::string out;
    if (bytes.size() < 5 || read_u8(bytes, 0) == 0) return out;
    std::size_t at = 5;
    for (int left = read_u8(bytes, 4); left > 0 && at + 3 <= bytes.size(); --left) {
        const std::size_t size = read_u8(bytes, at + 2);
        if (at + 3 + size > bytes.size()) break;
        if (size > 0) out += segment_text(read_u8(bytes, at), read_u8(bytes, at + 1), bytes.subspan(at + 3, size));
        at += 3 + size;
    }
    return out;
}

}  // namespace mastline
