// SPDX-License-Identifier: Apache-2.0
// Where a page server listens: "127.0.0.1:8080", "[::1]:8080"; port 0 is any free one.
#pragma once

#include <charconv>
#include <cstdint>
#include <string>
#include <string_view>

#include "mastline/net/ip_address.hpp"

namespace mastline {

struct ListenAddress {
    IpAddress address = IpAddress::v4(0x7F000001);
    std::uint16_t port = 0;
    friend constexpr bool operator==(const ListenAddress&, const ListenAddress&) = default;
};

// 127.0.0.0/8 (RFC 1122 section 3.2.1.3) and ::1 (RFC 4291 section 2.5.3).
constexpr bool is_loopback(const IpAddress& address) {
    if (address.is_v4()) return address.bytes()[0] == 127;
    for (std::size_t i = 0; i < 15; ++i)
        if (address.bytes()[i] != 0) return false;
    return address.bytes()[15] == 1;
}

inline std::string to_text(const ListenAddress& listen) {
    const std::string host = to_text(listen.address);
    return (listen.address.is_v4() ? host : "[" + host + "]") + ":" + std::to_string(listen.port);
}

inline Parsed<ListenAddress, UnitFault> parse_listen_address(std::string_view text) {
    const UnitFault fault{"\"" + std::string(text) + "\" is no address to listen on; one is written like "
                          "\"127.0.0.1:8080\" or \"[::1]:8080\""};
    const auto colon = text.rfind(':');
    if (colon == std::string_view::npos) return fault;
    std::string_view host = text.substr(0, colon);
    const std::string_view digits = text.substr(colon + 1);
    const bool bracketed = host.size() > 2 && host.front() == '[' && host.back() == ']';
    if (bracketed) host = host.substr(1, host.size() - 2);
    const auto address = parse_ip_address(host);
    std::uint16_t port = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), port);
    if (!address || address->is_v4() == bracketed || address->is_multicast()) return fault;
    if (error != std::errc{} || end != digits.data() + digits.size()) return fault;
    return ListenAddress{*address, port};
}

}  // namespace mastline
