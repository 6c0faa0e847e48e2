// SPDX-License-Identifier: Apache-2.0
// Some of the flows of a watch, all those to the same addresses, looked at by one thread at a time.
#pragma once

#include <vector>

#include "probe/flow/flow_table.hpp"

namespace mastline {

class FlowShard {
public:
    void expect(Destination destination, FlowOptions options);
    void datagram(const Datagram& datagram);
    void own_loss(Destination destination, std::uint64_t count);
    void own_loss_somewhere();

    std::size_t size() const { return flows_.size(); }
    // Appends them, in no order.
    void observe(std::vector<FlowObservation>& into) const;
    std::optional<Recording> recording(Destination destination) const;
    void want_still(Destination destination, ProgramNumber programme) { at(destination).want_still(programme); }
    std::optional<StillMaterial> still(Destination destination) const;
    void end_still(Destination destination) { at(destination).end_still(); }

private:
    FlowMonitor& at(const Destination& to);
    FlowMonitor* find(const Destination& like, int port);
    void tie(const Destination& added);

    FlowTable flows_;
};

}  // namespace mastline
