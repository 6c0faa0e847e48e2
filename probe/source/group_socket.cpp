// SPDX-License-Identifier: Apache-2.0
#include "probe/source/group_socket.hpp"

#include <net/if.h>
#include <netinet/in.h>
#include <sys/resource.h>
#include <sys/socket.h>

#include <algorithm>
#include <cerrno>
#include <system_error>

#include "probe/source/socket_address.hpp"

namespace mastline {

namespace {

// Holds about a quarter of a second of a 30 Mbit/s stream, if the machine allows that much.
constexpr int kReceiveBuffer = 4 * 1024 * 1024;

void check(int result, const std::string& what) {
    if (result < 0) throw std::system_error(errno, std::generic_category(), what);
}

template <class T>
void set_option(int fd, int level, int name, const T& value, const std::string& what) {
    check(::setsockopt(fd, level, name, &value, sizeof value), what);
}

// Larger than the machine's limit where we may; otherwise as large as the limit.
void enlarge_buffer(int fd) {
    if (::setsockopt(fd, SOL_SOCKET, SO_RCVBUFFORCE, &kReceiveBuffer, sizeof kReceiveBuffer) == 0) return;
    set_option(fd, SOL_SOCKET, SO_RCVBUF, kReceiveBuffer, "receive buffer");
}

// Only what this socket joined, on the interface it joined: without this the kernel hands over a
// group that any other program of the machine joined.
void ask_for_facts(int fd, bool v4) {
    const int on = 1, off = 0;
    set_option(fd, SOL_SOCKET, SO_TIMESTAMPNS, on, "kernel time stamps");
    set_option(fd, SOL_SOCKET, SO_RXQ_OVFL, on, "kernel drop count");
    if (v4) {
        set_option(fd, IPPROTO_IP, IP_MULTICAST_ALL, off, "IP_MULTICAST_ALL");
        set_option(fd, IPPROTO_IP, IP_RECVTTL, on, "IP_RECVTTL");
        set_option(fd, IPPROTO_IP, IP_RECVTOS, on, "IP_RECVTOS");
    } else {
        constexpr int ipv6_multicast_all = 29;  // linux/in6.h; not in the C library's header
        set_option(fd, IPPROTO_IPV6, ipv6_multicast_all, off, "IPV6_MULTICAST_ALL");
        set_option(fd, IPPROTO_IPV6, IPV6_V6ONLY, on, "IPV6_V6ONLY");
        set_option(fd, IPPROTO_IPV6, IPV6_RECVHOPLIMIT, on, "IPV6_RECVHOPLIMIT");
        set_option(fd, IPPROTO_IPV6, IPV6_RECVTCLASS, on, "IPV6_RECVTCLASS");
    }
}

}  // namespace

unsigned interface_index(const std::string& name) {
    const unsigned index = ::if_nametoindex(name.c_str());
    if (index == 0) throw std::system_error(errno, std::generic_category(), "interface " + name);
    return index;
}

// RFC 3678 section 5: the calls that take an interface by its index, alike for IPv4 and IPv6.
int join_group(int fd, const WantedFlow& flow, unsigned index) {
    const IpAddress& group = flow.address.group.address();
    const int level = group.is_v4() ? IPPROTO_IP : IPPROTO_IPV6;
    if (flow.only_source) {
        group_source_req request{};
        request.gsr_interface = index;
        request.gsr_group = to_socket_address(group, {}, index);
        request.gsr_source = to_socket_address(*flow.only_source, {}, index);
        return ::setsockopt(fd, level, MCAST_JOIN_SOURCE_GROUP, &request, sizeof request) < 0 ? errno : 0;
    }
    group_req request{};
    request.gr_interface = index;
    request.gr_group = to_socket_address(group, {}, index);
    return ::setsockopt(fd, level, MCAST_JOIN_GROUP, &request, sizeof request) < 0 ? errno : 0;
}

FileDescriptor open_group_socket(const WantedFlow& flow, unsigned index) {
    const IpAddress& group = flow.address.group.address();
    const int family = group.is_v4() ? AF_INET : AF_INET6;
    FileDescriptor fd(::socket(family, SOCK_DGRAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0));
    check(fd.get(), "opening a socket");
    set_option(fd.get(), SOL_SOCKET, SO_REUSEADDR, 1, "SO_REUSEADDR");
    enlarge_buffer(fd.get());
    ask_for_facts(fd.get(), group.is_v4());
    const auto local = to_socket_address(group, flow.address.port, index);
    check(::bind(fd.get(), static_cast<const sockaddr*>(static_cast<const void*>(&local)), size_of(local)),
          "binding to " + to_text(flow.address));
    if (const int error = join_group(fd.get(), flow, index); error != 0)
        throw std::system_error(error, std::generic_category(), "joining " + to_text(flow.address.group));
    return fd;
}

void make_room_for_descriptors(std::size_t count) {
    rlimit limit{};
    if (::getrlimit(RLIMIT_NOFILE, &limit) != 0) return;
    const rlim_t wanted = count + 64;
    if (limit.rlim_cur >= wanted) return;
    limit.rlim_cur = std::min<rlim_t>(wanted, limit.rlim_max);
    ::setrlimit(RLIMIT_NOFILE, &limit);
}

}  // namespace mastline
