// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/announce/announcer.hpp"

#include <sys/socket.h>

#include <algorithm>
#include <cerrno>
#include <random>
#include <system_error>

#include "tools/rehearse/announce/sap_message.hpp"
#include "tools/rehearse/send/multicast_socket.hpp"
#include "tools/rehearse/send/socket_address.hpp"

namespace mastline {

namespace {

// Apart from each other, so that a receiver's small queue takes them all.
constexpr auto kBetween = std::chrono::milliseconds(2);

// The address that announcements come from: the streams' own, else one of the interface.
IpAddress origin_of(const Expectation& flow, const Interface& interface) {
    if (flow.source) return *flow.source;
    const auto version = flow.flow.group.address().version();
    for (const auto& address : interface.addresses)
        if (address.version() == version) return address;
    throw std::system_error(EADDRNOTAVAIL, std::generic_category(),
                            "an address to announce from on " + interface.name);
}

OpenDescriptor socket_for(const Group& to, const IpAddress& from, int dscp, const Interface& interface) {
    OpenDescriptor out = multicast_socket({to.address().version(), kSapTtl, dscp}, interface);
    const SocketAddress own = socket_address(from, {}, interface.index);
    if (::bind(out.get(), &own.any, own.length) != 0)
        throw std::system_error(errno, std::generic_category(),
                                "source address " + to_text(from) + " on " + interface.name);
    const SocketAddress group = socket_address(to.address(), kSapPort, interface.index);
    if (::connect(out.get(), &group.any, group.length) != 0)
        throw std::system_error(errno, std::generic_category(), "group " + to_text(to));
    return out;
}

}  // namespace

Announcer::Announcer(const ExpectedLineup& lineup, const std::vector<std::string>& descriptions,
                     const std::vector<GroupSpan>& scopes, const Interface& interface) {
    std::size_t longest = 0;
    for (std::size_t i = 0; i < descriptions.size(); ++i) {
        const auto& flow = lineup.flows[i];
        const IpAddress origin = origin_of(flow, interface);
        sessions_.push_back({socket_for(sap_group(flow.flow.group, scopes), origin, 0, interface),
                             sap_message(SapType::announcement, origin, descriptions[i]),
                             sap_message(SapType::deletion, origin, descriptions[i])});
        longest = std::max(longest, sessions_.back().announcement.size());
    }
    if (sessions_.empty()) return;
    interval_ = sap_interval(sessions_.size(), longest);
    thread_ = std::thread([this] { run(); });
}

Announcer::~Announcer() {
    if (!thread_.joinable()) return;
    {
        const std::lock_guard lock(mutex_);
        ending_ = true;
    }
    wake_.notify_one();
    thread_.join();
    send_all(&Session::deletion);
}

void Announcer::run() {
    std::minstd_rand chance(std::random_device{}());
    std::uniform_real_distribution<double> draw(0, 1);
    std::unique_lock lock(mutex_);
    while (!ending_) {
        lock.unlock();
        send_all(&Session::announcement);
        lock.lock();
        wake_.wait_for(lock, sap_wait(interval_, draw(chance)), [this] { return ending_; });
    }
}

// One that the system refuses is passed over: the next comes in its turn.
void Announcer::send_all(std::string Session::* message) {
    for (const auto& session : sessions_) {
        const std::string& bytes = session.*message;
        [[maybe_unused]] const auto sent =
            ::send(session.socket.get(), bytes.data(), bytes.size(), MSG_NOSIGNAL);
        std::this_thread::sleep_for(kBetween);
    }
}

}  // namespace mastline
