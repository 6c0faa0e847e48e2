// SPDX-License-Identifier: Apache-2.0
// Text from the air or from files, made harmless for each kind of output.
#pragma once

#include <algorithm>
#include <cstdint>
#include <string>
#include <string_view>

namespace mastline {

namespace detail {

// Length of the well-formed UTF-8 sequence at the start of `s`, 0 when there is none.
inline std::size_t utf8_length(std::string_view s) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(s[i]); };
    const auto tail = [&](std::size_t i) { return i < s.size() && (byte(i) & 0xC0) == 0x80; };
    const unsigned b = byte(0);
    if (b < 0x80) return 1;
    if (b >= 0xC2 && b <= 0xDF) return tail(1) ? 2 : 0;
    if (b >= 0xE0 && b <= 0xEF) {
        if (!tail(1) || !tail(2)) return 0;
        if (b == 0xE0 && byte(1) < 0xA0) return 0;  // overlong
        if (b == 0xED && byte(1) > 0x9F) return 0;  // surrogate
        return 3;
    }
    if (b >= 0xF0 && b <= 0xF4) {
        if (!tail(1) || !tail(2) || !tail(3)) return 0;
        if (b == 0xF0 && byte(1) < 0x90) return 0;
        if (b == 0xF4 && byte(1) > 0x8F) return 0;
        return 4;
    }
    return 0;
}

inline std::uint32_t code_point(std::string_view sequence) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(sequence[i]); };
    switch (sequence.size()) {
        case 1: return byte(0);
        case 2: return ((byte(0) & 0x1FU) << 6) | (byte(1) & 0x3FU);
        case 3: return ((byte(0) & 0x0FU) << 12) | ((byte(1) & 0x3FU) << 6) | (byte(2) & 0x3FU);
        default:
            return ((byte(0) & 0x07U) << 18) | ((byte(1) & 0x3FU) << 12) |
                   ((byte(2) & 0x3FU) << 6) | (byte(3) & 0x3FU);
    }
}

// C0, DEL, C1, line and paragraph separators, bidirectional controls, byte order mark.
inline bool is_unsafe(std::uint32_t c) {
    return c < 0x20 || (c >= 0x7F && c <= 0x9F) || c == 0x061C || c == 0x200E || c == 0x200F ||
           (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) || c == 0xFEFF ||
           c == 0xFFFE || c == 0xFFFF;
}

}  // namespace detail

// One line of well-formed UTF-8 without control, separator or bidirectional characters: each of
// them, and each byte that is no UTF-8, becomes U+FFFD. Safe on a terminal.
inline std::string plain_line(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const std::size_t length = detail::utf8_length(text);
        const bool keep = length > 0 && !detail::is_unsafe(detail::code_point(text.substr(0, length)));
        if (keep) out += text.substr(0, length);
        else out += "\uFFFD";
        text.remove_prefix(length > 0 ? length : 1);
    }
    return out;
}

// For HTML and XML, element text and attribute values alike.
inline std::string escape_markup(std::string_view text) {
    std::string out;
    for (const char c : plain_line(text)) {
        switch (c) {
            case '&': out += "&amp;"; break;
            case '<': out += "&lt;"; break;
            case '>': out += "&gt;"; break;
            case '"': out += "&quot;"; break;
            case '\'': out += "&#39;"; break;
            default: out += c;
        }
    }
    return out;
}

// A JSON document (RFC 8259) whose text is as before, but which shows no control or bidirectional character
// where it is printed: they become escapes. Outside ASCII a document has nothing but strings.
inline std::string guard_json(std::string_view json) {
    constexpr std::string_view hex = "0123456789abcdef";
    std::string out;
    while (!json.empty()) {
        const std::size_t length = std::max<std::size_t>(1, detail::utf8_length(json));
        const auto c = detail::code_point(json.substr(0, length));
        if (c < 0x7F || c > 0xFFFF || !detail::is_unsafe(c)) {
            out += json.substr(0, length);
        } else {
            out += "\\u";
            for (const int shift : {12, 8, 4, 0}) out += hex[(c >> shift) & 0xF];
        }
        json.remove_prefix(length);
    }
    return out;
}

// One CSV field (RFC 4180), quoted where needed. A text that a spreadsheet would take for a formula
// gets a leading apostrophe; give numbers through csv_number() so that "-26.0" stays a number.
inline std::string csv_field(std::string_view text) {
    std::string plain = plain_line(text);
    const auto first = plain.find_first_not_of(' ');
    if (first != std::string::npos && std::string_view("=+-@|%").find(plain[first]) != std::string_view::npos)
        plain.insert(0, 1, '\'');
    if (plain.find_first_of(",\"\n\r;") == std::string::npos) return plain;
    std::string out = "\"";
    for (const char c : plain) {
        if (c == '"') out += '"';
        out += c;
    }
    return out + '"';
}

// A TOML basic string with its quotes.
inline std::string toml_string(std::string_view text) {
    std::string out = "\"";
    static constexpr char digits[] = "0123456789ABCDEF";
    while (!text.empty()) {
        const std::size_t length = detail::utf8_length(text);
        if (length == 0) {
            out += "\uFFFD";
            text.remove_prefix(1);
            continue;
        }
        const auto c = detail::code_point(text.substr(0, length));
        if (c == '"' || c == '\\') {
            out += '\\';
            out += static_cast<char>(c);
        } else if (detail::is_unsafe(c)) {
            out += "\\u";
            for (int shift = 12; shift >= 0; shift -= 4) out += digits[(c >> shift) & 15];
        } else {
            out += text.substr(0, length);
        }
        text.remove_prefix(length);
    }
    return out + "\"";
}

}  // namespace mastline
