// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/send/socket_outlet.hpp"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <system_error>

#include "tools/rehearse/send/multicast_socket.hpp"
#include "tools/rehearse/send/system_fault.hpp"

namespace mastline {

namespace {

constexpr int kSendBuffer = 4 << 20;

}  // namespace

std::vector<IpAddress> missing_sources(const ExpectedLineup& lineup, const Interface& interface) {
    std::vector<IpAddress> out;
    for (const auto& flow : lineup.flows) {
        if (!flow.source) continue;
        const auto& own = interface.addresses;
        if (std::find(own.begin(), own.end(), *flow.source) == own.end())
            out.push_back(*flow.source);
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

SocketOutlet::Sender::Sender(const Expectation& flow, const std::optional<IpAddress>& source,
                             const Interface& interface) {
    socket = multicast_socket({flow.flow.group.address().version(), flow.ttl, flow.dscp}, interface);
    if (::setsockopt(socket.get(), SOL_SOCKET, SO_SNDBUF, &kSendBuffer, sizeof kSendBuffer) != 0)
        fail("SO_SNDBUF");
    if (source) {
        const SocketAddress from = socket_address(*source, {}, interface.index);
        if (::bind(socket.get(), &from.any, from.length) != 0)
            fail("source address " + to_text(*source) + " on " + interface.name);
    }
    for (std::size_t i = 0; i < kBatch; ++i) {
        parts[i].iov_base = buffers[i].data();
        messages[i].msg_hdr.msg_iov = &parts[i];
        messages[i].msg_hdr.msg_iovlen = 1;
    }
}

SocketOutlet::SocketOutlet(const ExpectedLineup& lineup, const Interface& interface)
    : lineup_(lineup), interface_(interface) {
    for (const auto& flow : lineup.flows) {
        routes_.push_back({sender_for(flow, false), sender_for(flow, true)});
        destinations_.push_back(
            socket_address(flow.flow.group.address(), flow.flow.port, interface.index));
    }
}

SocketOutlet::Sender* SocketOutlet::sender_for(const Expectation& flow, bool second) {
    const auto source = second ? second_source(flow) : flow.source;
    auto& place =
        senders_[{source, flow.ttl, flow.dscp, flow.flow.group.address().version(), second}];
    if (!place) place = std::make_unique<Sender>(flow, source, interface_);
    return place.get();
}

// Another address of the interface of the same kind, else the planned one again.
std::optional<IpAddress> SocketOutlet::second_source(const Expectation& flow) const {
    const IpVersion version = flow.flow.group.address().version();
    std::optional<IpAddress> planned = flow.source;
    for (const auto& address : interface_.addresses) {
        if (address.version() != version) continue;
        if (!planned) planned = address;  // what the kernel takes when none is planned
        if (address != *planned) return address;
    }
    return flow.source;
}

std::string SocketOutlet::second_source_text(std::size_t flow) const {
    const auto second = second_source(lineup_.flows[flow]);
    if (second && second != lineup_.flows[flow].source) return to_text(*second);
    return "another UDP port of the same address";
}

ByteSpan SocketOutlet::slot(Route route) {
    Sender& s = sender(route);
    if (s.count == kBatch) send(s);
    return s.buffers[s.count];
}

void SocketOutlet::commit(Route route, std::size_t size) {
    Sender& s = sender(route);
    SocketAddress& to = destinations_[route.flow];
    s.parts[s.count].iov_len = size;
    s.messages[s.count].msg_hdr.msg_name = &to.any;
    s.messages[s.count].msg_hdr.msg_namelen = to.length;
    ++s.count;
}

void SocketOutlet::flush() {
    for (auto& [key, sender] : senders_)
        if (sender->count > 0) send(*sender);
}

// A datagram that the system refuses is counted and passed over.
void SocketOutlet::send(Sender& sender) {
    std::size_t done = 0;
    while (done < sender.count) {
        const int sent = ::sendmmsg(sender.socket.get(), &sender.messages[done],
                                    static_cast<unsigned>(sender.count - done), 0);
        if (sent > 0) {
            done += static_cast<std::size_t>(sent);
        } else if (errno != EINTR) {
            ++errors_.count;
            errors_.last = std::strerror(errno);
            ++done;
        }
    }
    sender.count = 0;
}

}  // namespace mastline
