// SPDX-License-Identifier: Apache-2.0
// Ethernet addresses, and the one that a multicast group maps to.
#pragma once

#include <array>
#include <charconv>
#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

#include "mastline/net/group.hpp"

namespace mastline {

struct MacAddress {
    std::array<std::uint8_t, 6> bytes{};
    friend constexpr auto operator<=>(const MacAddress&, const MacAddress&) = default;
};

// IPv4: 01:00:5e and the low 23 bits (RFC 1112 section 6.4). IPv6: 33:33 and the low 32 bits
// (RFC 2464 section 7).
constexpr MacAddress mac_of(const Group& group) {
    const auto& b = group.address().bytes();
    if (group.address().is_v4())
        return {{0x01, 0x00, 0x5E, static_cast<std::uint8_t>(b[1] & 0x7F), b[2], b[3]}};
    return {{0x33, 0x33, b[12], b[13], b[14], b[15]}};
}

inline std::string to_text(const MacAddress& mac) {
    static constexpr char digits[] = "0123456789abcdef";
    std::string out;
    for (const auto b : mac.bytes) {
        if (!out.empty()) out += ':';
        out += digits[b >> 4];
        out += digits[b & 15];
    }
    return out;
}

inline Parsed<MacAddress, UnitFault> parse_mac_address(std::string_view text) {
    const UnitFault fault{"\"" + std::string(text) +
                          "\" is no Ethernet address; one is written like \"01:00:5e:40:0a:14\""};
    if (text.size() != 17) return fault;
    MacAddress mac;
    for (std::size_t i = 0; i < 6; ++i) {
        const char* at = text.data() + 3 * i;
        const auto [end, ec] = std::from_chars(at, at + 2, mac.bytes[i], 16);
        if (ec != std::errc{} || end != at + 2 || (i < 5 && at[2] != ':' && at[2] != '-'))
            return fault;
    }
    return mac;
}

}  // namespace mastline
