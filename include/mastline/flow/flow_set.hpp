// SPDX-License-Identifier: Apache-2.0
// All flows of one watch: datagrams of any destination in, one observation per flow out.
#pragma once

#include <memory>
#include <vector>

#include "mastline/flow/flow_monitor.hpp"

namespace mastline {

class FlowCrew;

class FlowSet {
public:
    // With more than one thread the flows are looked at side by side, all of one address by the same;
    // what is observed does not depend on their number. One thread looks within datagram() itself.
    explicit FlowSet(unsigned threads = 1);
    FlowSet(FlowSet&&) noexcept;
    FlowSet& operator=(FlowSet&&) noexcept;
    ~FlowSet();

    // A flow known beforehand; it is observed even if nothing arrives.
    void expect(Destination destination, FlowOptions options);

    void datagram(const Datagram& datagram);
    void own_loss(Destination destination, std::uint64_t count);
    // The listening machine dropped datagrams of flows it cannot name: gaps near here are not judged.
    void own_loss_somewhere();

    std::size_t size() const;
    // By destination. The FEC flows among them are named.
    std::vector<FlowObservation> observe() const;
    // The packets that the flow's monitor kept; none when it keeps none.
    std::optional<Recording> recording(Destination destination) const;

    // As FlowMonitor has them.
    void want_still(Destination destination, ProgramNumber programme);
    std::optional<StillMaterial> still(Destination destination) const;
    void end_still(Destination destination);

private:
    std::unique_ptr<FlowCrew> crew_;
};

}  // namespace mastline
