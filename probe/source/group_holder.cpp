// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/group_holder.hpp"
#include "mastline/units/unix_now.hpp"

#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

#include "probe/source/group_socket.hpp"

namespace mastline {

namespace {

int open_socket(bool v4) {
    const int fd = ::socket(v4 ? AF_INET : AF_INET6, SOCK_DGRAM | SOCK_CLOEXEC, 0);
    if (fd < 0) throw std::system_error(errno, std::generic_category(), "opening a socket");
    return fd;
}

}  // namespace

// The kernel holds so many memberships per socket and then says ENOBUFS: the next socket goes on.
GroupHolder::GroupHolder(const std::string& interface, const std::vector<WantedFlow>& flows) {
    const unsigned index = interface_index(interface);
    joined_.resize(flows.size());
    for (const bool v4 : {true, false}) {
        bool fresh = true;
        for (std::size_t i = 0; i < flows.size(); ++i) {
            const auto& flow = flows[i];
            if (flow.address.group.address().is_v4() != v4) continue;
            if (fresh) sockets_.push_back(open_socket(v4));
            fresh = false;
            joined_[i] = unix_now();
            int error = join_group(sockets_.back(), flow, index);
            if (error == ENOBUFS) {
                sockets_.push_back(open_socket(v4));
                error = join_group(sockets_.back(), flow, index);
            }
            // Flows that share a group share its membership.
            if (error != 0 && error != EADDRINUSE && error != EADDRNOTAVAIL)
                throw std::system_error(error, std::generic_category(), "joining " + to_text(flow.address.group));
        }
    }
}

void GroupHolder::leave() {
    for (const int fd : sockets_) ::close(fd);
    sockets_.clear();
}

GroupHolder::~GroupHolder() { leave(); }

}  // namespace mastline
