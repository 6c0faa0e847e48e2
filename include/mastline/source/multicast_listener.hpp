// SPDX-License-Identifier: Apache-2.0
// Listens with ordinary sockets, no privilege needed: one socket per group and port, bound to the
// group, joined on one interface. One membership per socket stays clear of the kernel's limit of
// memberships per socket, and a socket of its own tells which stream a kernel drop fell on.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "mastline/net/flow.hpp"
#include "mastline/source/packet_sink.hpp"

namespace mastline {

struct WantedFlow {
    FlowAddress address;
    std::optional<IpAddress> only_source;  // a source-specific join
};

// Datagrams that the kernel had for one flow and dropped because we did not take them in time.
struct KernelDrops {
    FlowAddress address;
    std::uint64_t datagrams = 0;
};

class MulticastListener {
public:
    // Throws std::system_error when the interface does not exist or a join is refused.
    MulticastListener(const std::string& interface, const std::vector<WantedFlow>& flows);
    ~MulticastListener();  // leaves every group
    MulticastListener(const MulticastListener&) = delete;
    MulticastListener& operator=(const MulticastListener&) = delete;

    // Delivers what is there; waits at most `patience` for the first datagram. How many came.
    std::size_t poll(PacketSink& sink, Duration patience);

    std::vector<KernelDrops> drops() const;
    Duration joined_at(std::size_t flow) const;  // time of the join, Unix epoch

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace mastline
