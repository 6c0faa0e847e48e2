// SPDX-License-Identifier: Apache-2.0
// A run of consecutive groups, as people write it: "239.192.0.0/16", "239.1.1.1-239.1.1.99", or one
// group alone.
#pragma once

#include <charconv>
#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

#include "mastline/net/group.hpp"

namespace mastline {

// Both ends belong to it, are of one IP version, and first <= last.
struct GroupSpan {
    Group first, last;
    friend constexpr auto operator<=>(const GroupSpan&, const GroupSpan&) = default;
};

constexpr bool overlap(const GroupSpan& a, const GroupSpan& b) {
    return a.first.address().version() == b.first.address().version() && a.first <= b.last &&
           b.first <= a.last;
}

inline std::string to_text(const GroupSpan& span) {
    return span.first == span.last ? to_text(span.first)
                                   : to_text(span.first) + "-" + to_text(span.last);
}

// An address and the number of its leading bits that count: "192.0.2.0/24", "2001:db8:1::/48".
struct IpPrefix {
    IpAddress address;  // host bits are zero
    int length = 0;
    friend constexpr auto operator<=>(const IpPrefix&, const IpPrefix&) = default;
};

inline std::string to_text(const IpPrefix& prefix) {
    return to_text(prefix.address) + "/" + std::to_string(prefix.length);
}

namespace detail {

// `address` with every bit after `length` cleared or set.
constexpr IpAddress fill_host_bits(const IpAddress& address, int length, bool ones) {
    auto bytes = address.bytes();
    const int size = address.is_v4() ? 4 : 16;
    for (int i = 0; i < size; ++i) {
        const int kept = length - 8 * i;
        const unsigned mask = kept >= 8 ? 0U : kept <= 0 ? 0xFFU : 0xFFU >> kept;
        auto& byte = bytes[static_cast<std::size_t>(i)];
        byte = static_cast<std::uint8_t>(ones ? byte | mask : byte & ~mask);
    }
    if (!address.is_v4()) return IpAddress::v6(bytes);
    return IpAddress::v4((std::uint32_t{bytes[0]} << 24) | (std::uint32_t{bytes[1]} << 16) |
                         (std::uint32_t{bytes[2]} << 8) | bytes[3]);
}

}  // namespace detail

constexpr bool contains(const IpPrefix& prefix, const IpAddress& address) {
    return prefix.address.version() == address.version() &&
           detail::fill_host_bits(address, prefix.length, false) == prefix.address;
}

inline Parsed<IpPrefix, UnitFault> parse_ip_prefix(std::string_view text) {
    const auto slash = text.find('/');
    const auto shown = "\"" + std::string(text) + "\"";
    if (slash == std::string_view::npos)
        return UnitFault{shown + " has no prefix length; write it like \"192.0.2.0/24\""};
    const auto address = parse_ip_address(text.substr(0, slash));
    if (!address) return address.error();
    const auto digits = text.substr(slash + 1);
    int length = -1;
    const auto [end, ec] = std::from_chars(digits.data(), digits.data() + digits.size(), length);
    const int most = address->is_v4() ? 32 : 128;
    if (ec != std::errc{} || end != digits.data() + digits.size() || length < 0 || length > most)
        return UnitFault{shown + " has no prefix length of 0 to " + std::to_string(most) +
                         " after the stroke"};
    const IpPrefix prefix{detail::fill_host_bits(*address, length, false), length};
    if (prefix.address != *address)
        return UnitFault{shown + " has host bits set; write \"" + to_text(prefix) + "\""};
    return prefix;
}

inline Parsed<GroupSpan, UnitFault> parse_group_span(std::string_view text) {
    if (text.find('/') != std::string_view::npos) {
        const auto prefix = parse_ip_prefix(text);
        if (!prefix) return prefix.error();
        const auto first = Group::of(prefix->address);
        const auto last = Group::of(detail::fill_host_bits(prefix->address, prefix->length, true));
        if (first && last) return GroupSpan{*first, *last};
        return UnitFault{"\"" + std::string(text) +
                         "\" is not a range of multicast groups; groups are 224.0.0.0/4 and "
                         "ff00::/8"};
    }
    const auto dash = text.find('-');
    const auto first = parse_group(detail::trim(text.substr(0, dash)));
    if (!first) return first.error();
    if (dash == std::string_view::npos) return GroupSpan{*first, *first};
    const auto last = parse_group(detail::trim(text.substr(dash + 1)));
    if (!last) return last.error();
    if (first->address().version() != last->address().version())
        return UnitFault{"\"" + std::string(text) + "\" mixes IPv4 and IPv6"};
    if (*last < *first)
        return UnitFault{"\"" + std::string(text) + "\" runs backwards; write \"" +
                         to_text(GroupSpan{*last, *first}) + "\""};
    return GroupSpan{*first, *last};
}

}  // namespace mastline
