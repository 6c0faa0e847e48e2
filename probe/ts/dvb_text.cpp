// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/dvb_text.hpp"

#include <iconv.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <cstring>
#include <memory>
#include <span>

#include "character_tables.hpp"
#include "mastline/text/escape.hpp"
#include "utf8.hpp"

namespace mastline {

namespace {

using charsets::UpperHalf;

constexpr std::uint32_t kUnknown = 0xFFFD;

// The part of ISO/IEC 8859 with that number, or nullptr (part 12 was never made).
const UpperHalf* part_8859(unsigned part) {
    using namespace charsets;
    static constexpr std::array<const UpperHalf*, 16> parts{
        nullptr,      &kIso8859_1,  &kIso8859_2,  &kIso8859_3, &kIso8859_4,  &kIso8859_5,
        &kIso8859_6,  &kIso8859_7,  &kIso8859_8,  &kIso8859_9, &kIso8859_10, &kIso8859_11,
        nullptr,      &kIso8859_13, &kIso8859_14, &kIso8859_15};
    return part < parts.size() ? parts[part] : nullptr;
}

// Control codes of annex A.1 (table A.1, A.2): emphasis goes, a line break is a space; 0xE080 to
// 0xE09F are the same codes in two-byte tables and in UTF-8.
void put(std::string& out, std::uint32_t c) {
    const std::uint32_t control = c >= 0xE080 && c <= 0xE09F ? c - 0xE000 : c;
    if (control == 0x8A || c == '\n' || c == '\r') out += ' ';
    else if (c >= 0x20 && (control < 0x7F || control > 0x9F)) append_utf8(out, c);
}

std::string one_byte_text(ByteView text, const UpperHalf* upper) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const std::uint32_t c = read_u8(text, i);
        if (c < 0xA0) put(out, c);
        else put(out, upper != nullptr && (*upper)[c - 0xA0] != 0 ? (*upper)[c - 0xA0] : kUnknown);
    }
    return out;
}

// A letter with the mark that stood in front of it.
std::uint32_t composed(std::uint32_t mark, std::uint32_t letter) {
    const auto pair = static_cast<std::uint16_t>((mark << 8) | letter);
    const auto& all = charsets::kIso6937Composed;
    const auto at = std::lower_bound(all.begin(), all.end(), pair,
                                     [](const auto& entry, std::uint16_t p) { return entry.pair < p; });
    return at != all.end() && at->pair == pair ? at->code_point : 0;
}

// The combining character of a mark, for letters that have no character with it; 0: none.
std::uint32_t combining(std::uint32_t mark) {
    static constexpr std::array<std::uint16_t, 15> all{0x0300, 0x0301, 0x0302, 0x0303, 0x0304, 0x0306, 0x0307, 0x0308,
                                                       0,      0x030A, 0x0327, 0,      0x030B, 0x0328, 0x030C};
    return all[mark - 0xC1];
}

bool is_letter(std::uint32_t c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }

std::string iso6937_text(ByteView text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const std::uint32_t c = read_u8(text, i);
        if (c >= 0xC1 && c <= 0xCF) {
            const std::uint32_t letter = i + 1 < text.size() ? read_u8(text, i + 1) : 0U;
            const std::uint32_t whole = composed(c, letter);
            const bool apart = whole == 0 && is_letter(letter) && combining(c) != 0;
            put(out, whole != 0 ? whole : apart ? letter : kUnknown);
            if (apart) put(out, combining(c));
            if (whole != 0 || apart) ++i;
        } else if (c < 0xA0) {
            put(out, c);
        } else {
            const std::uint32_t found = charsets::kIso6937[c - 0xA0];
            put(out, found != 0 ? found : kUnknown);
        }
    }
    return out;
}

std::string two_byte_text(ByteView text) {
    std::string out;
    for (std::size_t i = 0; i + 1 < text.size(); i += 2) put(out, read_u16(text, i));
    return out;
}

// ISO 2022 sets of 94 x 94 characters with both bytes in the upper half, ASCII in the lower: what the C
// library calls EUC-KR (KS X 1001) and EUC-CN (GB 2312).
std::string paired_text(ByteView text, const char* encoding) {
    struct Close {
        void operator()(void* p) const { ::iconv_close(p); }
    };
    const ::iconv_t opened = ::iconv_open("UTF-16BE", encoding);
    const bool usable = opened != std::bit_cast<::iconv_t>(std::intptr_t{-1});
    const std::unique_ptr<void, Close> converter(usable ? opened : nullptr);
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const unsigned first = read_u8(text, i);
        if (first < 0xA0) {
            put(out, first);
            continue;
        }
        std::array<char, 2> pair{};
        std::array<char, 2> unit{};
        if (i + 1 == text.size() || read_u8(text, i + 1) < 0xA0) {
            put(out, kUnknown);
            continue;
        }
        std::memcpy(pair.data(), text.data() + i++, pair.size());
        char *from = pair.data(), *to = unit.data();
        std::size_t left = pair.size(), room = unit.size();
        const bool whole = converter && ::iconv(converter.get(), &from, &left, &to, &room) != static_cast<std::size_t>(-1) && room == 0;
        if (converter) ::iconv(converter.get(), nullptr, nullptr, nullptr, nullptr);
        put(out, whole ? read_u16(std::as_bytes(std::span(unit)), 0) : kUnknown);
    }
    return out;
}

std::string utf8_text(ByteView text) {
    std::string raw, out;
    for (const std::byte b : text) raw += static_cast<char>(b);
    for (std::string_view rest = raw; !rest.empty();) {
        const std::size_t length = detail::utf8_length(rest);
        put(out, length == 0 ? kUnknown : detail::code_point(rest.substr(0, length)));
        rest.remove_prefix(length == 0 ? 1 : length);
    }
    return out;
}

}  // namespace

std::string dvb_text(ByteView text) {
    if (text.empty()) return "";
    const unsigned table = read_u8(text, 0);
    if (table >= 0x20) return iso6937_text(text);
    if (table >= 0x01 && table <= 0x0B) return one_byte_text(text.subspan(1), part_8859(table + 4));
    if (table == 0x10 && text.size() >= 3)
        return one_byte_text(text.subspan(3), part_8859(read_u16(text, 1)));
    if (table == 0x11 || table == 0x14) return two_byte_text(text.subspan(1));
    if (table == 0x12) return paired_text(text.subspan(1), "EUC-KR");
    if (table == 0x13) return paired_text(text.subspan(1), "EUC-CN");
    if (table == 0x15) return utf8_text(text.subspan(1));
    // 0x1F: a byte that says which encoding follows, none of them public; the rest is reserved.
    return one_byte_text(text.subspan(table == 0x1F ? std::min<std::size_t>(2, text.size()) : 1), nullptr);
}

}  // namespace mastline
