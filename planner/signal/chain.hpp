// SPDX-License-Identifier: Apache-2.0
// The chain as a graph of numbered ports, and the trace of every lane through it.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "mastline/signal/signal_plan.hpp"
#include "mastline/venue/port_index.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// Where a run leads: conductor `lane` of port `port`.
struct RunHop {
    std::size_t run = 0;
    std::size_t port = 0;
    int lane = 1;
};

struct PathHop {
    std::size_t path = 0;  // index into the device's paths
    std::size_t port = 0;
};

struct ChainPort {
    PortRef ref;
    Port port;
    NodeKind kind = NodeKind::device;
    std::size_t node = 0;  // index into the venue's feeds, devices or cards
    std::vector<std::optional<RunHop>> runs;  // per conductor, of an output
    std::vector<PathHop> paths;               // of an input
};

// One conductor that one lane of one feed comes to. Visits stand in order: parents before children.
struct Visit {
    std::size_t feed = 0, lane = 0;        // indices: which signal
    std::optional<std::size_t> parent;     // the visit it came from; none at the feed
    std::size_t port = 0;
    int conductor = 1;
    std::optional<std::size_t> run;        // came by this run ...
    std::optional<std::size_t> path;       // ... or through this path of the port's device
};

// REQUIRES: the venue has been checked and outlives the chain.
class Chain {
public:
    explicit Chain(const Venue& venue);

    const Venue& venue() const { return *venue_; }
    const std::vector<ChainPort>& ports() const { return ports_; }
    const std::vector<Visit>& visits() const { return visits_; }

    const Device& device(const ChainPort& port) const { return venue_->devices[port.node]; }
    const Device& device(const Visit& visit) const { return device(ports_[visit.port]); }
    const PortPath& path(const Visit& visit) const { return device(visit).paths[*visit.path]; }
    LaneRef lane(const Visit& visit) const;
    const FeedLane& feed_lane(const Visit& visit) const {
        return venue_->feeds[visit.feed].lanes[visit.lane];
    }
    // Ids of the parts from roof to the visit: "lane:west/1", "run:...", "device:..."
    std::vector<std::string> parts(const Visit& visit) const;
    // Whether the visit's signal has been moved to user bands.
    bool behind_single_cable(std::size_t visit) const;
    // The cable of a run; null when it is reckoned flat.
    const Cable* cable(const Run& run) const;

private:
    void number_ports();
    void connect();
    void follow(Visit visit);

    const Venue* venue_;
    PortIndex index_;
    std::vector<ChainPort> ports_;
    std::vector<Visit> visits_;
};

}  // namespace mastline
