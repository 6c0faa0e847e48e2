// SPDX-License-Identifier: Apache-2.0
// The checks of one flow, fed datagrams: who sends it and how, what is lost, and the transport
// stream in it.
#pragma once

#include <memory>
#include <optional>

#include "mastline/flow/flow_observation.hpp"
#include "mastline/flow/flow_recorder.hpp"
#include "mastline/net/datagram.hpp"
#include "mastline/stream/still_collector.hpp"
#include "mastline/stream/stream.hpp"

namespace mastline {

// What is known of a flow beforehand.
struct FlowOptions {
    std::optional<IpAddress> source;   // whose packets are the stream; else who comes first
    std::optional<BitRate> media_rate; // for the Media Delivery Index
    StreamOptions stream;
    std::size_t recorded_bytes = 0;    // memory for packets around the first fault; 0: keep none
    bool over_time = false;            // keep how it went over time
};

class FlowMonitor {
public:
    // After so long a silence of the main source another source becomes the main one.
    static constexpr Duration kSilence = std::chrono::seconds(1);

    explicit FlowMonitor(Destination destination, FlowOptions options = {});
    FlowMonitor(FlowMonitor&&) noexcept;
    FlowMonitor& operator=(FlowMonitor&&) noexcept;
    ~FlowMonitor();

    // One for another wire that knows, keeps and picks the same, and has seen nothing yet.
    FlowMonitor looking_alike(Destination destination) const;

    void datagram(const Datagram& datagram);
    // The listening machine dropped `count` datagrams of this flow before the next one.
    void own_loss(std::uint64_t count);
    // It dropped datagrams, perhaps of this flow: the next gap is not held against the network.
    void own_loss_possible();

    // Flows to the same address, two and four ports below, which repair packets that arrive here
    // protect; nullptr where there is none. They must live as long as this one is fed.
    void may_repair(FlowMonitor* two_below, FlowMonitor* four_below);

    FlowObservation observe() const;
    FlowFaults faults() const;
    // None when it was not asked to keep packets.
    std::optional<Recording> recording() const;

    // From here on picks what a still of that programme can be decoded from, once; asked again, anew. What
    // is observed does not depend on it.
    void want_still(ProgramNumber programme);
    // None when it was not asked for.
    std::optional<StillMaterial> still() const;
    void end_still();

private:
    class State;
    std::unique_ptr<State> state_;
};

}  // namespace mastline
