// SPDX-License-Identifier: Apache-2.0
#include "probe/source/socket_address.hpp"

#include <netinet/in.h>

#include <algorithm>
#include <cstring>

namespace mastline {

sockaddr_storage to_socket_address(const IpAddress& address, UdpPort port,
                                   unsigned interface_index) {
    sockaddr_storage out{};
    if (address.is_v4()) {
        sockaddr_in v4{};
        v4.sin_family = AF_INET;
        v4.sin_port = htons(port.number);
        v4.sin_addr.s_addr = htonl(address.v4_value());
        std::memcpy(&out, &v4, sizeof v4);
        return out;
    }
    sockaddr_in6 v6{};
    v6.sin6_family = AF_INET6;
    v6.sin6_port = htons(port.number);
    v6.sin6_scope_id = interface_index;
    std::ranges::copy(address.bytes(), v6.sin6_addr.s6_addr);
    std::memcpy(&out, &v6, sizeof v6);
    return out;
}

socklen_t size_of(const sockaddr_storage& address) {
    return address.ss_family == AF_INET ? sizeof(sockaddr_in) : sizeof(sockaddr_in6);
}

SocketPeer from_socket_address(const sockaddr_storage& address) {
    if (address.ss_family == AF_INET) {
        sockaddr_in v4{};
        std::memcpy(&v4, &address, sizeof v4);
        return {IpAddress::v4(ntohl(v4.sin_addr.s_addr)), {ntohs(v4.sin_port)}};
    }
    sockaddr_in6 v6{};
    std::memcpy(&v6, &address, sizeof v6);
    std::array<std::uint8_t, 16> bytes{};
    std::ranges::copy(v6.sin6_addr.s6_addr, bytes.begin());
    return {IpAddress::v6(bytes), {ntohs(v6.sin6_port)}};
}

}  // namespace mastline
