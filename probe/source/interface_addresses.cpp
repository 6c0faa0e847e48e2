// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/interface_addresses.hpp"

#include <ifaddrs.h>
#include <netinet/in.h>

#include <cerrno>
#include <cstring>
#include <memory>
#include <system_error>

#include "probe/source/socket_address.hpp"

namespace mastline {

std::set<IpAddress> interface_addresses(const std::string& interface) {
    ifaddrs* first = nullptr;
    if (::getifaddrs(&first) != 0) throw std::system_error(errno, std::generic_category(), interface);
    const std::unique_ptr<ifaddrs, decltype(&::freeifaddrs)> owner(first, &::freeifaddrs);
    std::set<IpAddress> out;
    for (const ifaddrs* i = first; i != nullptr; i = i->ifa_next) {
        if (i->ifa_addr == nullptr || interface != i->ifa_name) continue;
        const auto family = i->ifa_addr->sa_family;
        if (family != AF_INET && family != AF_INET6) continue;
        sockaddr_storage address{};
        std::memcpy(&address, i->ifa_addr, family == AF_INET ? sizeof(sockaddr_in) : sizeof(sockaddr_in6));
        out.insert(from_socket_address(address).address);
    }
    return out;
}

}  // namespace mastline
