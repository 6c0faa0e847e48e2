// SPDX-License-Identifier: Apache-2.0
// Addresses as the socket calls want them.
#pragma once

#include <sys/socket.h>

#include "mastline/net/flow.hpp"

namespace mastline {

sockaddr_storage to_socket_address(const IpAddress& address, UdpPort port, unsigned interface_index);
socklen_t size_of(const sockaddr_storage& address);

struct SocketPeer {
    IpAddress address;
    UdpPort port;
};
SocketPeer from_socket_address(const sockaddr_storage& address);

}  // namespace mastline
