// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/flow_shard.hpp"

namespace mastline {

FlowMonitor* FlowShard::find(const Destination& like, int port) {
    if (port < 0 || port > 0xFFFF) return nullptr;
    return flows_.find({like.address, {static_cast<std::uint16_t>(port)}, like.wire});
}

// Repair packets of a flow at hand may arrive at the new one, and those for it elsewhere.
void FlowShard::tie(const Destination& added) {
    for (const int above : {0, 2, 4}) {
        const int port = added.port.number + above;
        if (FlowMonitor* repairing = find(added, port)) repairing->may_repair(find(added, port - 2), find(added, port - 4));
    }
}

FlowMonitor& FlowShard::at(const Destination& to) {
    if (FlowMonitor* found = flows_.find(to)) return *found;
    // What is expected, is expected on every wire.
    const FlowMonitor* const first = to.wire == WireNumber{} ? nullptr : flows_.find({to.address, to.port, {}});
    FlowMonitor& added = flows_.add(to, first == nullptr ? FlowMonitor(to) : first->looking_alike(to));
    tie(to);
    return added;
}

void FlowShard::expect(Destination destination, FlowOptions options) {
    FlowMonitor monitor(destination, std::move(options));
    if (FlowMonitor* found = flows_.find(destination)) *found = std::move(monitor);
    else flows_.add(destination, std::move(monitor));
    tie(destination);
}

void FlowShard::datagram(const Datagram& datagram) {
    at({datagram.destination, datagram.port, datagram.frame.wire}).datagram(datagram);
}

void FlowShard::own_loss(Destination destination, std::uint64_t count) {
    at(destination).own_loss(count);
}

void FlowShard::own_loss_somewhere() {
    for (auto& flow : flows_.entries()) flow.monitor.own_loss_possible();
}

std::optional<Recording> FlowShard::recording(Destination destination) const {
    const FlowMonitor* const found = flows_.find(destination);
    return found == nullptr ? std::nullopt : found->recording();
}

std::optional<StillMaterial> FlowShard::still(Destination destination) const {
    const FlowMonitor* const found = flows_.find(destination);
    return found == nullptr ? std::nullopt : found->still();
}

void FlowShard::observe(std::vector<FlowObservation>& into) const {
    for (const auto& flow : flows_.entries()) into.push_back(flow.monitor.observe());
}

}  // namespace mastline
