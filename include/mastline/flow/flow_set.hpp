// SPDX-License-Identifier: Apache-2.0
// All flows of one watch: datagrams of any destination in, one observation per flow out.
#pragma once

#include <memory>
#include <unordered_map>
#include <vector>

#include "mastline/flow/flow_monitor.hpp"

namespace mastline {

class FlowSet {
public:
    // A flow known beforehand; it is observed even if nothing arrives.
    void expect(Destination destination, FlowOptions options);

    void datagram(const Datagram& datagram);
    void own_loss(Destination destination, std::uint64_t count);
    // The listening machine dropped datagrams of flows it cannot name: gaps near here are not judged.
    void own_loss_somewhere();

    std::size_t size() const { return flows_.size(); }
    // By destination. The FEC flows among them are named.
    std::vector<FlowObservation> observe() const;
    // The packets that the flow's monitor kept; none when it keeps none.
    std::optional<Recording> recording(Destination destination) const;

private:
    struct Hash {
        std::size_t operator()(const Destination& to) const noexcept;
    };
    FlowMonitor& at(const Destination& to);

    std::unordered_map<Destination, FlowMonitor, Hash> flows_;
};

}  // namespace mastline
