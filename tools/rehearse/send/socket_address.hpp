// SPDX-License-Identifier: Apache-2.0
// Addresses of ours as the socket calls want them.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <sys/socket.h>

#include <algorithm>
#include <optional>

#include "mastline/net/flow.hpp"

namespace mastline {

// Room for either kind; `length` says which.
struct SocketAddress {
    union {
        sockaddr any;
        sockaddr_in v4;
        sockaddr_in6 v6;
    };
    socklen_t length = 0;
    SocketAddress() : v6{} {}
};

// `scope`: the interface index that a link-local IPv6 address needs.
inline SocketAddress socket_address(const IpAddress& address, UdpPort port, unsigned scope = 0) {
    SocketAddress out;
    if (address.is_v4()) {
        out.v4 = sockaddr_in{};
        out.v4.sin_family = AF_INET;
        out.v4.sin_port = htons(port.number);
        out.v4.sin_addr.s_addr = htonl(address.v4_value());
        out.length = sizeof out.v4;
    } else {
        out.v6.sin6_family = AF_INET6;
        out.v6.sin6_port = htons(port.number);
        std::copy(address.bytes().begin(), address.bytes().end(), out.v6.sin6_addr.s6_addr);
        out.v6.sin6_scope_id = scope;
        out.length = sizeof out.v6;
    }
    return out;
}

inline std::optional<IpAddress> ip_address(const sockaddr* address) {
    if (address == nullptr) return std::nullopt;
    const void* const raw = address;
    if (address->sa_family == AF_INET)
        return IpAddress::v4(ntohl(static_cast<const sockaddr_in*>(raw)->sin_addr.s_addr));
    if (address->sa_family != AF_INET6) return std::nullopt;
    std::array<std::uint8_t, 16> bytes{};
    std::copy_n(static_cast<const sockaddr_in6*>(raw)->sin6_addr.s6_addr, 16, bytes.begin());
    return IpAddress::v6(bytes);
}

}  // namespace mastline
