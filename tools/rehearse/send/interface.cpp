// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/send/interface.hpp"

#include <ifaddrs.h>
#include <linux/ethtool.h>
#include <linux/if_addr.h>
#include <linux/sockios.h>
#include <net/if.h>
#include <sys/ioctl.h>

#include <array>
#include <cerrno>
#include <fstream>
#include <memory>
#include <system_error>

#include "tools/rehearse/send/descriptor.hpp"
#include "tools/rehearse/send/socket_address.hpp"
#include "tools/rehearse/send/system_fault.hpp"

namespace mastline {

namespace {

ifreq request_for(const std::string& name) {
    ifreq request{};
    name.copy(request.ifr_name, IFNAMSIZ - 1);
    return request;
}

// The kernel's own word for what drives an interface; empty when it has none.
std::string driver_of(int fd, const std::string& name) {
    ethtool_drvinfo info{};
    info.cmd = ETHTOOL_GDRVINFO;
    ifreq request = request_for(name);
    request.ifr_data = static_cast<char*>(static_cast<void*>(&info));
    return ::ioctl(fd, SIOCETHTOOL, &request) == 0 ? std::string(info.driver) : std::string();
}

std::vector<IpAddress> addresses_of(const std::string& name) {
    ifaddrs* list = nullptr;
    if (::getifaddrs(&list) != 0) fail("addresses of " + name);
    const std::unique_ptr<ifaddrs, decltype(&::freeifaddrs)> owner(list, &::freeifaddrs);
    std::vector<IpAddress> out;
    for (const ifaddrs* entry = list; entry != nullptr; entry = entry->ifa_next)
        if (name == entry->ifa_name)
            if (const auto address = ip_address(entry->ifa_addr)) out.push_back(*address);
    return out;
}

}  // namespace

Interface find_interface(const std::string& name) {
    Interface out;
    out.name = name;
    out.index = name.size() < IFNAMSIZ ? ::if_nametoindex(name.c_str()) : 0;
    if (out.index == 0)
        throw std::system_error(ENODEV, std::generic_category(), "interface " + name);
    const OpenDescriptor socket(::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0));
    ifreq request = request_for(name);
    if (socket.get() < 0 || ::ioctl(socket.get(), SIOCGIFFLAGS, &request) != 0)
        fail("interface " + name);
    const auto flags = static_cast<unsigned>(request.ifr_flags);
    out.up = (flags & IFF_UP) != 0;
    out.driver = driver_of(socket.get(), name);
    if ((flags & IFF_LOOPBACK) != 0)
        out.kind = InterfaceKind::loopback;
    else if (out.driver == "veth")
        out.kind = InterfaceKind::test_pair;
    out.addresses = addresses_of(name);
    return out;
}

std::vector<IpAddress> tentative_addresses(const std::string& name) {
    // "fd990000000000000000000000000001 02 40 00 80 head0": address, index, prefix, scope, flags.
    std::ifstream table("/proc/net/if_inet6");
    std::vector<IpAddress> out;
    std::string address, index, prefix, scope, flags, device;
    while (table >> address >> index >> prefix >> scope >> flags >> device) {
        if (device != name || address.size() != 32 ||
            (std::stoul(flags, nullptr, 16) & IFA_F_TENTATIVE) == 0)
            continue;
        std::array<std::uint8_t, 16> bytes{};
        for (std::size_t i = 0; i < 16; ++i)
            bytes[i] = static_cast<std::uint8_t>(std::stoul(address.substr(2 * i, 2), nullptr, 16));
        out.push_back(IpAddress::v6(bytes));
    }
    return out;
}

std::optional<std::string> refusal(const Interface& interface) {
    if (interface.kind != InterfaceKind::real) return std::nullopt;
    return "interface " + interface.name +
           " is neither loopback nor one end of a veth pair (its driver is " +
           (interface.driver.empty() ? "unknown" : "'" + interface.driver + "'") +
           "), so a real network may stand behind it: every group of the plan would be sent there, "
           "on top of "
           "what the head-end sends. Use a test network (tools/lab), or say --allow-real-interface";
}

}  // namespace mastline
