// SPDX-License-Identifier: Apache-2.0
// IPv4 and IPv6 addresses as bytes of our own, in network order.
#pragma once

#include <array>
#include <bit>
#include <charconv>
#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

#include "mastline/bytes/parsed.hpp"
#include "mastline/units/unit_text.hpp"

namespace mastline {

enum class IpVersion : std::uint8_t { v4 = 4, v6 = 6 };

// One address of either version. An IPv4 address stands in the first four bytes; the rest is 0.
class IpAddress {
public:
    constexpr IpAddress() = default;
    static constexpr IpAddress v4(std::uint32_t value) {
        IpAddress a;
        a.bytes_ = {static_cast<std::uint8_t>(value >> 24), static_cast<std::uint8_t>(value >> 16),
                    static_cast<std::uint8_t>(value >> 8), static_cast<std::uint8_t>(value)};
        return a;
    }
    static constexpr IpAddress v6(const std::array<std::uint8_t, 16>& bytes) {
        IpAddress a;
        a.version_ = IpVersion::v6;
        a.bytes_ = bytes;
        return a;
    }

    constexpr IpVersion version() const { return version_; }
    constexpr bool is_v4() const { return version_ == IpVersion::v4; }
    constexpr const std::array<std::uint8_t, 16>& bytes() const { return bytes_; }
    // REQUIRES: is_v4()
    constexpr std::uint32_t v4_value() const {
        return (std::uint32_t{bytes_[0]} << 24) | (std::uint32_t{bytes_[1]} << 16) |
               (std::uint32_t{bytes_[2]} << 8) | bytes_[3];
    }
    constexpr bool is_multicast() const {
        return is_v4() ? (bytes_[0] & 0xF0) == 0xE0 : bytes_[0] == 0xFF;
    }
    constexpr bool is_unspecified() const {
        for (const auto b : bytes_)
            if (b != 0) return false;
        return true;
    }

    // It never leaves a host: 127.0.0.0/8 (RFC 1122 section 3.2.1.3), ::1 (RFC 4291 section 2.5.3).
    constexpr bool is_loopback() const {
        if (is_v4()) return bytes_[0] == 127;
        for (std::size_t i = 0; i < 15; ++i)
            if (bytes_[i] != 0) return false;
        return bytes_[15] == 1;
    }
    // No router passes on what comes from it: 169.254.0.0/16 (RFC 3927 section 7), fe80::/10
    // (RFC 4291 section 2.5.6).
    constexpr bool is_link_local() const {
        return is_v4() ? bytes_[0] == 169 && bytes_[1] == 254 : bytes_[0] == 0xFE && (bytes_[1] & 0xC0) == 0x80;
    }
    // A device can send from it: one of its own, no group and no broadcast (RFC 1122 section 3.2.1.3, RFC 4291
    // section 2.7), so nothing of 0.0.0.0/8 and of 240.0.0.0/4 either.
    constexpr bool is_sendable() const {
        if (is_multicast() || is_unspecified() || is_loopback()) return false;
        return !is_v4() || (bytes_[0] != 0 && bytes_[0] < 240);
    }

    // As two words for hashing and comparing, in the byte order of the machine.
    constexpr std::array<std::uint64_t, 2> words() const {
        return std::bit_cast<std::array<std::uint64_t, 2>>(bytes_);
    }

    friend constexpr auto operator<=>(const IpAddress&, const IpAddress&) = default;
    friend constexpr bool operator==(const IpAddress& a, const IpAddress& b) {
        const auto x = a.words(), y = b.words();
        return ((x[0] ^ y[0]) | (x[1] ^ y[1])) == 0 && a.version_ == b.version_;
    }

private:
    IpVersion version_ = IpVersion::v4;
    std::array<std::uint8_t, 16> bytes_{};
};

namespace detail {

inline bool read_dotted_quad(std::string_view text, std::uint32_t& value) {
    value = 0;
    for (int part = 0; part < 4; ++part) {
        if (part > 0) {
            if (text.empty() || text.front() != '.') return false;
            text.remove_prefix(1);
        }
        unsigned number = 0;
        const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), number);
        const auto digits = static_cast<std::size_t>(end - text.data());
        if (ec != std::errc{} || number > 255 || (digits > 1 && text.front() == '0')) return false;
        text.remove_prefix(digits);
        value = (value << 8) | number;
    }
    return text.empty();
}

// RFC 4291 section 2.2: groups of hexadecimal, one "::", an optional dotted quad at the end.
inline bool read_ipv6(std::string_view text, std::array<std::uint8_t, 16>& bytes) {
    std::array<std::uint16_t, 8> groups{};
    std::size_t count = 0;
    std::size_t gap = 9;
    if (text.starts_with("::")) {
        gap = 0;
        text.remove_prefix(2);
    }
    while (!text.empty()) {
        if (count == 8) return false;
        std::uint32_t quad = 0;
        if (count <= 6 && text.find(':') == std::string_view::npos && read_dotted_quad(text, quad)) {
            groups[count++] = static_cast<std::uint16_t>(quad >> 16);
            groups[count++] = static_cast<std::uint16_t>(quad);
            break;
        }
        unsigned number = 0;
        const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), number, 16);
        const auto digits = static_cast<std::size_t>(end - text.data());
        if (ec != std::errc{} || digits > 4) return false;
        groups[count++] = static_cast<std::uint16_t>(number);
        text.remove_prefix(digits);
        if (text.empty()) break;
        if (text.front() != ':') return false;
        text.remove_prefix(1);
        if (!text.empty() && text.front() == ':') {
            if (gap != 9) return false;
            gap = count;
            text.remove_prefix(1);
        } else if (text.empty()) {
            return false;
        }
    }
    if (gap == 9 ? count != 8 : count > 7) return false;
    for (std::size_t i = 0; i < count; ++i) {
        const std::size_t at = i < gap ? i : 8 - (count - i);
        bytes[2 * at] = static_cast<std::uint8_t>(groups[i] >> 8);
        bytes[2 * at + 1] = static_cast<std::uint8_t>(groups[i]);
    }
    return true;
}

// RFC 5952: lower case, the longest run of zero groups (two or more, first wins) as "::".
inline std::string write_ipv6(const std::array<std::uint8_t, 16>& bytes) {
    std::array<unsigned, 8> groups{};
    for (std::size_t i = 0; i < 8; ++i) groups[i] = (unsigned{bytes[2 * i]} << 8) | bytes[2 * i + 1];
    std::size_t best = 8, best_length = 1;
    for (std::size_t i = 0; i < 8; ++i) {
        std::size_t length = 0;
        while (i + length < 8 && groups[i + length] == 0) ++length;
        if (length > best_length) best = i, best_length = length;
    }
    std::string out;
    for (std::size_t i = 0; i < 8; ++i) {
        if (i == best) {
            out += "::";
            i += best_length - 1;
            continue;
        }
        if (!out.empty() && out.back() != ':') out += ':';
        char buffer[8];
        const auto [end, ec] = std::to_chars(buffer, buffer + sizeof buffer, groups[i], 16);
        if (ec == std::errc{}) out.append(buffer, end);
    }
    return out;
}

}  // namespace detail

inline Parsed<IpAddress, UnitFault> parse_ip_address(std::string_view text) {
    std::uint32_t value = 0;
    if (detail::read_dotted_quad(text, value)) return IpAddress::v4(value);
    std::array<std::uint8_t, 16> bytes{};
    if (text.find(':') != std::string_view::npos && detail::read_ipv6(text, bytes))
        return IpAddress::v6(bytes);
    return UnitFault{"\"" + std::string(text) +
                     "\" is no IP address; one is written like \"10.20.0.11\" or \"2001:db8::11\""};
}

inline std::string to_text(const IpAddress& address) {
    if (!address.is_v4()) return detail::write_ipv6(address.bytes());
    std::string out;
    for (std::size_t i = 0; i < 4; ++i)
        out += (i > 0 ? "." : "") + std::to_string(address.bytes()[i]);
    return out;
}

}  // namespace mastline
