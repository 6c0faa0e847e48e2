// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/multicast_listener.hpp"
#include "mastline/units/unix_now.hpp"

#include <netinet/in.h>
#include <sys/epoll.h>
#include <sys/socket.h>

#include <array>
#include <cerrno>
#include <chrono>
#include <cstring>
#include <system_error>

#include "probe/source/file_descriptor.hpp"
#include "probe/source/group_socket.hpp"
#include "probe/source/socket_address.hpp"

namespace mastline {

namespace {

constexpr std::size_t kBatch = 32;          // datagrams per system call
constexpr std::size_t kLargest = 64 * 1024;  // bytes of the largest datagram
constexpr std::size_t kControl = 256;        // room for stamp, TTL, TOS and drop count
constexpr int kEvents = 256;

template <class T>
T control_value(const cmsghdr& message) {
    T out{};
    std::memcpy(&out, CMSG_DATA(&message), sizeof out);
    return out;
}

// The batch of buffers that recvmmsg fills.
struct Batch {
    std::vector<std::byte> bytes = std::vector<std::byte>(kBatch * kLargest);
    std::array<std::array<std::byte, kControl>, kBatch> control;
    std::array<sockaddr_storage, kBatch> peers;
    std::array<iovec, kBatch> places;
    std::array<mmsghdr, kBatch> messages{};

    void reset(std::size_t i) {
        places[i] = {bytes.data() + i * kLargest, kLargest};
        messages[i].msg_hdr = {&peers[i], sizeof peers[i], &places[i], 1,
                               control[i].data(), kControl, 0};
    }
    std::size_t size() const { return kBatch; }
};

}  // namespace

struct MulticastListener::State {
    struct Member {
        FlowAddress address;
        FileDescriptor socket;
        Duration joined{};
        std::uint32_t drops = 0;           // the kernel's running count
        std::uint32_t drops_reported = 0;  // to the sink
    };

    FileDescriptor epoll;
    std::vector<Member> members;
    Batch batch;
    std::array<epoll_event, kEvents> events{};

    void open(const std::string& interface, const std::vector<WantedFlow>& flows);
    std::size_t drain(Member& member, PacketSink& sink);
    Datagram datagram_of(Member& member, std::size_t i);
};

void MulticastListener::State::open(const std::string& interface,
                                    const std::vector<WantedFlow>& flows) {
    const unsigned index = interface_index(interface);
    make_room_for_descriptors(flows.size());
    epoll = FileDescriptor(::epoll_create1(EPOLL_CLOEXEC));
    if (epoll.get() < 0) throw std::system_error(errno, std::generic_category(), "epoll");
    members.reserve(flows.size());
    for (const auto& flow : flows) {
        members.push_back({flow.address, open_group_socket(flow, index), unix_now()});
        epoll_event event{};
        event.events = EPOLLIN;
        event.data.u64 = members.size() - 1;
        if (::epoll_ctl(epoll.get(), EPOLL_CTL_ADD, members.back().socket.get(), &event) < 0)
            throw std::system_error(errno, std::generic_category(), "epoll");
    }
    for (std::size_t i = 0; i < batch.size(); ++i) batch.reset(i);
}

Datagram MulticastListener::State::datagram_of(Member& member, std::size_t i) {
    msghdr& header = batch.messages[i].msg_hdr;
    const auto peer = from_socket_address(batch.peers[i]);
    Datagram out;
    out.payload = ByteView(batch.bytes).subspan(i * kLargest, batch.messages[i].msg_len);
    out.source = peer.address;
    out.source_port = peer.port;
    out.destination = member.address.group.address();
    out.port = member.address.port;
    out.truncated = (header.msg_flags & MSG_TRUNC) != 0;
    out.stamped = false;
    for (cmsghdr* c = CMSG_FIRSTHDR(&header); c != nullptr; c = CMSG_NXTHDR(&header, c)) {
        if (c->cmsg_level == SOL_SOCKET && c->cmsg_type == SCM_TIMESTAMPNS) {
            const auto at = control_value<timespec>(*c);
            out.arrival = std::chrono::seconds(at.tv_sec) + Duration(at.tv_nsec);
            out.stamped = true;
        } else if (c->cmsg_level == SOL_SOCKET && c->cmsg_type == SO_RXQ_OVFL) {
            member.drops = control_value<std::uint32_t>(*c);
        } else if (c->cmsg_level == IPPROTO_IP && c->cmsg_type == IP_TTL) {
            out.ttl = control_value<int>(*c);
        } else if (c->cmsg_level == IPPROTO_IP && c->cmsg_type == IP_TOS) {
            out.dscp = control_value<std::uint8_t>(*c) >> 2;
        } else if (c->cmsg_level == IPPROTO_IPV6 && c->cmsg_type == IPV6_HOPLIMIT) {
            out.ttl = control_value<int>(*c);
        } else if (c->cmsg_level == IPPROTO_IPV6 && c->cmsg_type == IPV6_TCLASS) {
            out.dscp = control_value<int>(*c) >> 2;
        }
    }
    return out;
}

std::size_t MulticastListener::State::drain(Member& member, PacketSink& sink) {
    std::size_t total = 0;
    for (;;) {
        const int got = ::recvmmsg(member.socket.get(), batch.messages.data(), kBatch, 0, nullptr);
        if (got < 0) {
            // ECONNREFUSED and the like are reports about other traffic; nothing is lost by them.
            if (errno == EAGAIN || errno == EINTR || errno == ECONNREFUSED) return total;
            throw std::system_error(errno, std::generic_category(),
                                    "receiving " + to_text(member.address));
        }
        for (std::size_t i = 0; i < static_cast<std::size_t>(got); ++i) {
            const Datagram datagram = datagram_of(member, i);
            if (member.drops != member.drops_reported) {
                sink.on_own_loss(member.address, member.drops - member.drops_reported);
                member.drops_reported = member.drops;
            }
            sink.on_datagram(datagram);
            batch.reset(i);
        }
        total += static_cast<std::size_t>(got);
        if (got < static_cast<int>(kBatch)) return total;
    }
}

MulticastListener::MulticastListener(const std::string& interface,
                                     const std::vector<WantedFlow>& flows)
    : state_(std::make_unique<State>()) {
    state_->open(interface, flows);
}

MulticastListener::~MulticastListener() = default;

std::size_t MulticastListener::poll(PacketSink& sink, Duration patience) {
    const auto wait = std::chrono::ceil<std::chrono::milliseconds>(patience).count();
    std::size_t total = 0;
    int ready = ::epoll_wait(state_->epoll.get(), state_->events.data(), kEvents, static_cast<int>(wait));
    if (ready < 0 && errno != EINTR) throw std::system_error(errno, std::generic_category(), "epoll");
    for (int i = 0; i < ready; ++i)
        total += state_->drain(state_->members[state_->events[static_cast<std::size_t>(i)].data.u64], sink);
    return total;
}

std::vector<KernelDrops> MulticastListener::drops() const {
    std::vector<KernelDrops> out;
    for (const auto& m : state_->members)
        if (m.drops > 0) out.push_back({m.address, m.drops});
    return out;
}

Duration MulticastListener::joined_at(std::size_t flow) const { return state_->members[flow].joined; }

}  // namespace mastline
