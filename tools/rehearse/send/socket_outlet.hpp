// SPDX-License-Identifier: Apache-2.0
// Datagrams out of sockets, a few in each system call. Flows that share source, TTL and DSCP share
// a socket; a second source has its own.
#pragma once

#include <sys/socket.h>

#include <array>
#include <map>
#include <memory>
#include <string>
#include <tuple>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "tools/rehearse/send/descriptor.hpp"
#include "tools/rehearse/send/interface.hpp"
#include "tools/rehearse/send/outlet.hpp"
#include "tools/rehearse/send/socket_address.hpp"

namespace mastline {

// The planned sources that the interface does not have, without doubles.
std::vector<IpAddress> missing_sources(const ExpectedLineup& lineup, const Interface& interface);

class SocketOutlet final : public Outlet {
public:
    // Throws std::system_error when a socket cannot be had as planned.
    SocketOutlet(const ExpectedLineup& lineup, const Interface& interface);

    ByteSpan slot(Route route) override;
    void commit(Route route, std::size_t size) override;
    void flush() override;

    struct Errors {
        std::int64_t count = 0;
        std::string last;  // what the system said
    };
    const Errors& errors() const { return errors_; }
    // Who the second source of a flow is: "10.20.0.12", "another UDP port of 10.20.0.11".
    std::string second_source_text(std::size_t flow) const;

private:
    // Small: a big batch would leave as one burst.
    static constexpr std::size_t kBatch = 8;

    struct Sender {
        Sender(const Expectation& flow, const std::optional<IpAddress>& source,
               const Interface& interface);
        OpenDescriptor socket;
        std::size_t count = 0;
        std::array<std::array<std::byte, kMostDatagram>, kBatch> buffers{};
        std::array<iovec, kBatch> parts{};
        std::array<mmsghdr, kBatch> messages{};
    };
    // source, TTL, DSCP, IP version, second
    using Key = std::tuple<std::optional<IpAddress>, int, int, IpVersion, bool>;

    Sender& sender(Route route) { return *routes_[route.flow][route.second_source ? 1 : 0]; }
    Sender* sender_for(const Expectation& flow, bool second);
    std::optional<IpAddress> second_source(const Expectation& flow) const;
    void send(Sender& sender);

    const ExpectedLineup& lineup_;
    Interface interface_;
    std::map<Key, std::unique_ptr<Sender>> senders_;
    std::vector<std::array<Sender*, 2>> routes_;
    std::vector<SocketAddress> destinations_;
    Errors errors_;
};

}  // namespace mastline
