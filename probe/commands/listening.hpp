// SPDX-License-Identifier: Apache-2.0
// The ways to listen to live flows, under one roof.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "mastline/source/multicast_listener.hpp"
#include "mastline/verdict/latency.hpp"
#include "probe/commands/watch_sink.hpp"

namespace mastline {

class Listening {
public:
    virtual ~Listening() = default;
    virtual void poll(PacketSink& sink, Duration patience) = 0;
    // Datagrams that this machine dropped so far.
    virtual std::uint64_t own_drops() const = 0;
    // When each flow was joined by call, in their order.
    virtual std::vector<Duration> joined() const = 0;
    // Leaves every group and goes on listening. False where nothing could be seen any more then.
    virtual bool leave() { return false; }
    // Why membership messages are not seen; empty when they are.
    virtual std::string blind_to_membership() const { return {}; }
};

// Ordinary sockets; membership messages are watched beside them where that is permitted.
std::unique_ptr<Listening> listen_by_sockets(const std::string& interface,
                                             const std::vector<WantedFlow>& flows);
// The kernel's capture ring, with the groups joined (CAP_NET_RAW). Sees unasked-for groups too.
std::unique_ptr<Listening> listen_by_ring(const std::string& interface,
                                          const std::vector<WantedFlow>& flows);

// What to join for a plan: every flow, of its own source where the plan says so.
std::vector<WantedFlow> wanted_flows(const ExpectedLineup& plan);

// Until the time is over or a stop signal comes.
Watch watch_live(Listening& listening, WatchSink& sink, Duration length);

// Leaves all groups and watches what still comes, for `length` at most. None where this way of
// listening cannot tell.
std::optional<Aftermath> watch_leaving(Listening& listening, WatchSink& sink, Duration length);

}  // namespace mastline
