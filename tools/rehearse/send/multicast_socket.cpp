// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/send/multicast_socket.hpp"

#include <netinet/in.h>
#include <sys/socket.h>

#include <cerrno>
#include <system_error>

#include "tools/rehearse/send/system_fault.hpp"

namespace mastline {

namespace {

void set_option(int fd, int level, int name, int value, const char* what) {
    if (::setsockopt(fd, level, name, &value, sizeof value) != 0) fail(what);
}

void set_v4_options(int fd, const MulticastMarks& marks, const Interface& interface) {
    ip_mreqn out{};
    out.imr_ifindex = static_cast<int>(interface.index);
    if (::setsockopt(fd, IPPROTO_IP, IP_MULTICAST_IF, &out, sizeof out) != 0)
        fail("IP_MULTICAST_IF");
    set_option(fd, IPPROTO_IP, IP_MULTICAST_TTL, marks.ttl, "IP_MULTICAST_TTL");
    set_option(fd, IPPROTO_IP, IP_MULTICAST_LOOP, interface.kind == InterfaceKind::loopback,
               "IP_MULTICAST_LOOP");
    set_option(fd, IPPROTO_IP, IP_TOS, marks.dscp << 2, "IP_TOS");
}

void set_v6_options(int fd, const MulticastMarks& marks, const Interface& interface) {
    set_option(fd, IPPROTO_IPV6, IPV6_MULTICAST_IF, static_cast<int>(interface.index),
               "IPV6_MULTICAST_IF");
    set_option(fd, IPPROTO_IPV6, IPV6_MULTICAST_HOPS, marks.ttl, "IPV6_MULTICAST_HOPS");
    set_option(fd, IPPROTO_IPV6, IPV6_MULTICAST_LOOP, interface.kind == InterfaceKind::loopback,
               "IPV6_MULTICAST_LOOP");
    set_option(fd, IPPROTO_IPV6, IPV6_TCLASS, marks.dscp << 2, "IPV6_TCLASS");
}

}  // namespace

OpenDescriptor multicast_socket(const MulticastMarks& marks, const Interface& interface) {
    const bool v4 = marks.version == IpVersion::v4;
    OpenDescriptor out(::socket(v4 ? AF_INET : AF_INET6, SOCK_DGRAM | SOCK_CLOEXEC, 0));
    if (out.get() < 0) fail("socket");
    if (v4) set_v4_options(out.get(), marks, interface);
    else set_v6_options(out.get(), marks, interface);
    return out;
}

}  // namespace mastline
